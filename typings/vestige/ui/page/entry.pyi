from ui.page.entry import *
