from ui.paper.report import *
