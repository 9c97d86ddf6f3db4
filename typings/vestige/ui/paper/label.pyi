from ui.paper.label import *
