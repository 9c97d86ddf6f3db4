from ui.app import *
