from graph.record.record import *
