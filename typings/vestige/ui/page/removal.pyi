from ui.page.removal import *
