from ui.gate.view_log import *
