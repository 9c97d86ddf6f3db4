from ui.language.catalogue import *
