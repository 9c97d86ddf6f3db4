from graph.reasoning.junction_tree import *
