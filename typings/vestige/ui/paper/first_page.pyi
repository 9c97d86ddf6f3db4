from ui.paper.first_page import *
