from ui.drawing import *
