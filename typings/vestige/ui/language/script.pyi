from ui.language.script import *
