from ui.command.words_linking import *
