from ui.page.board import *
