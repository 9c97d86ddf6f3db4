from ui.drawing.palette import *
