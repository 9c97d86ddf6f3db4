from graph.record.measure import *
