from graph.reasoning.same_batch import *
