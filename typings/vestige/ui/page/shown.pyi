from ui.page.shown import *
