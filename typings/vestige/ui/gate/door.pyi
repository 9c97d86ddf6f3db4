from ui.gate.door import *
