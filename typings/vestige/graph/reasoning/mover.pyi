from graph.reasoning.mover import *
