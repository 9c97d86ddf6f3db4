from ui.page.grounds import *
