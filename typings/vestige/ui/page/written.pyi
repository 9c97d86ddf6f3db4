from ui.page.written import *
