from ui.page.holdings import *
