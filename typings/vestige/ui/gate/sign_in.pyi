from ui.gate.sign_in import *
