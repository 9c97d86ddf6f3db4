from ui.drawing.colour_vision import *
