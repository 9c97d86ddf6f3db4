from graph.reasoning.influence import *
