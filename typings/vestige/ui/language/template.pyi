from ui.language.template import *
