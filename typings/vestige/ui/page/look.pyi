from ui.page.look import *
