from ui.page.export import *
