from ui.drawing.rows import *
