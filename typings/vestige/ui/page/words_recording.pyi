from ui.page.words_recording import *
