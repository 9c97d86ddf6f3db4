from ui.page.desk import *
