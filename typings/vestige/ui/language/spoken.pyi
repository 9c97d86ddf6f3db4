from ui.language.spoken import *
