from graph.reasoning.factor_graph import *
