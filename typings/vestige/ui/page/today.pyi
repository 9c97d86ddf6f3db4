from ui.page.today import *
