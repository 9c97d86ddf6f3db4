from ui.command.words_decision import *
