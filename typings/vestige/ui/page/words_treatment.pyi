from ui.page.words_treatment import *
