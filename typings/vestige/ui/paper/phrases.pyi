from ui.paper.phrases import *
