from ui.language.claim import *
