from ui.page.photo import *
