from ui.paper.layout import *
