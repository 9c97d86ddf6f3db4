from ui.command.words_next import *
