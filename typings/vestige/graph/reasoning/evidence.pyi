from graph.reasoning.evidence import *
