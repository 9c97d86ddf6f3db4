from ui.drawing.tracks import *
