from ui.page.treated import *
