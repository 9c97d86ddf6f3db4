from ui.gate.throttle import *
