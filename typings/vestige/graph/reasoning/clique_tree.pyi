from graph.reasoning.clique_tree import *
