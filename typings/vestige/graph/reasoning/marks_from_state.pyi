from graph.reasoning.marks_from_state import *
