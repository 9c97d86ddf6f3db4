from ui.paper.list_paper import *
