from ui.paper.html import *
