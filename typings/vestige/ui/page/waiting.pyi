from ui.page.waiting import *
