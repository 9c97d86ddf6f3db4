from graph.reasoning.solve_again import *
