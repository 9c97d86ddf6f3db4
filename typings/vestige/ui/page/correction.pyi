from ui.page.correction import *
