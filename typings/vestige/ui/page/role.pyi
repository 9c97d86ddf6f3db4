from ui.page.role import *
