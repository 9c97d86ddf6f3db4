from ui.drawing.svg import *
