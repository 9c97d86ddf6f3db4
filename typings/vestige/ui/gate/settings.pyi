from ui.gate.settings import *
