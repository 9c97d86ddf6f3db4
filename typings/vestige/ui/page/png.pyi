from ui.page.png import *
