from ui.drawing.layered import *
