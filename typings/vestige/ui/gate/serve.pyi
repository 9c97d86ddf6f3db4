from ui.gate.serve import *
