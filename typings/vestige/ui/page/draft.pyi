from ui.page.draft import *
