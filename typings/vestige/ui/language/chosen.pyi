from ui.language.chosen import *
