from graph.reasoning.measured_marks import *
