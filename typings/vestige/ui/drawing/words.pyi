from ui.drawing.words import *
