from graph.reasoning.sampling import *
