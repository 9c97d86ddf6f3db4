from ui.language.words import *
