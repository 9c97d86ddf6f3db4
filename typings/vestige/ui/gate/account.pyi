from ui.gate.account import *
