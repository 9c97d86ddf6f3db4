from ui.language.words_verdict import *
