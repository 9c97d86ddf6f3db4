from ui.drawing.time_scale import *
