from ui.page.form import *
