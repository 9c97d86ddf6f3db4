from ui.gate import *
