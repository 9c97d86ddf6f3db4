from ui.page.observe import *
