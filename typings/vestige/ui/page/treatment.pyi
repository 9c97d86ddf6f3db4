from ui.page.treatment import *
