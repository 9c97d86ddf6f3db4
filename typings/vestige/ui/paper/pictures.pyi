from ui.paper.pictures import *
