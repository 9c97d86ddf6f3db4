from ui.page.record import *
