from ui.page.tongue import *
