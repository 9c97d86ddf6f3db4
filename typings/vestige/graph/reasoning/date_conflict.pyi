from graph.reasoning.date_conflict import *
