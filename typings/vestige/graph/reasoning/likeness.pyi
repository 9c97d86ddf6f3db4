from graph.reasoning.likeness import *
