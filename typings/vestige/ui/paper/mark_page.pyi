from ui.paper.mark_page import *
