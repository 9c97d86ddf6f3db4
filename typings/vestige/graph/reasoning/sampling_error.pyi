from graph.reasoning.sampling_error import *
