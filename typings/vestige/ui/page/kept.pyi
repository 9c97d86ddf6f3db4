from ui.page.kept import *
