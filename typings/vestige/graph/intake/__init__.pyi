from graph.intake import *
