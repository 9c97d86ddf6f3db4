from ui.gate.session import *
