from ui.page.open_question import *
