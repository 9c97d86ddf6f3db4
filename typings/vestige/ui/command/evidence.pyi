from ui.command.evidence import *
