from ui.command.marking import *
