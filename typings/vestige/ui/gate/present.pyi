from ui.gate.present import *
