from graph.reasoning.specimen import *
