from ui.paper import *
