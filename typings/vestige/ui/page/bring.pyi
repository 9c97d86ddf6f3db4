from ui.page.bring import *
