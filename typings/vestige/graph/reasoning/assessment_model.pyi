from graph.reasoning.assessment_model import *
