from ui.command.main import *
