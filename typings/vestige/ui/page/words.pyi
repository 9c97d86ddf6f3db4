from ui.page.words import *
