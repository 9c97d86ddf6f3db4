from ui.command.linking import *
