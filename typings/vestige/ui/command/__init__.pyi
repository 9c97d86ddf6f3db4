from ui.command import *
