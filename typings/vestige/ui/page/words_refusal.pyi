from ui.page.words_refusal import *
