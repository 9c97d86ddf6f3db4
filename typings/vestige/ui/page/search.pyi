from ui.page.search import *
