from ui.page.change import *
