from ui.language.__main__ import *
