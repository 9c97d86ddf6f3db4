from ui.gate.preview import *
