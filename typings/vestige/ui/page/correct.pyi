from ui.page.correct import *
