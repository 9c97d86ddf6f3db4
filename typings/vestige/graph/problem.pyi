from graph.problem import *
