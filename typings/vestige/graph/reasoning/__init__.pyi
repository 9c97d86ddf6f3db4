from graph.reasoning import *
