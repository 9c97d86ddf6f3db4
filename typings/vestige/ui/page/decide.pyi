from ui.page.decide import *
