from graph.reasoning.expected_gain import *
