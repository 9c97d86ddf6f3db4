from ui.language import *
