from ui.command.asking import *
