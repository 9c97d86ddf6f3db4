from ui.command.words import *
