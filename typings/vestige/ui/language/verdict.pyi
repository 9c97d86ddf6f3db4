from ui.language.verdict import *
