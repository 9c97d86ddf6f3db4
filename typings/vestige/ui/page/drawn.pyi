from ui.page.drawn import *
