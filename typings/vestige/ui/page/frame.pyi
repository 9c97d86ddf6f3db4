from ui.page.frame import *
