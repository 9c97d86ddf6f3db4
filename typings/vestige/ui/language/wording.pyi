from ui.language.wording import *
