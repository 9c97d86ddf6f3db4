from ui.paper.label_sheet import *
