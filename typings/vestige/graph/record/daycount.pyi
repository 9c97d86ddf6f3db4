from graph.record.daycount import *
