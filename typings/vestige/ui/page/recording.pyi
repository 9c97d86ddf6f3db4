from ui.page.recording import *
