from ui.language.words_claim import *
