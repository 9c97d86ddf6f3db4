from graph.reasoning.sampling_blocks import *
