from ui.page import *
