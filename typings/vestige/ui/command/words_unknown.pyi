from ui.command.words_unknown import *
