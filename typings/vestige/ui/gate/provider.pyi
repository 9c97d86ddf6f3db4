from ui.gate.provider import *
