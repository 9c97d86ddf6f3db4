from graph.reasoning.likeness_ratio import *
