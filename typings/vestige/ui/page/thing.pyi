from ui.page.thing import *
