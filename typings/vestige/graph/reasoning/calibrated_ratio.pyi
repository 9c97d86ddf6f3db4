from graph.reasoning.calibrated_ratio import *
