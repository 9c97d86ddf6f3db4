from graph.reasoning.assessment import *
