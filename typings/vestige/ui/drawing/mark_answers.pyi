from ui.drawing.mark_answers import *
