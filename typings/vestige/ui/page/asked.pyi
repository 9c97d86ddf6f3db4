from ui.page.asked import *
