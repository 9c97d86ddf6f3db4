from ui.gate.words import *
