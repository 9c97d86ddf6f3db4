from ui.page.meanwhile import *
