from ui.paper.write import *
