from graph.reasoning.sampled_inquiry import *
