from graph.record.identity import *
