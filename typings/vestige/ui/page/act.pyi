from ui.page.act import *
