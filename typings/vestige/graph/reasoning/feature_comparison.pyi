from graph.reasoning.feature_comparison import *
