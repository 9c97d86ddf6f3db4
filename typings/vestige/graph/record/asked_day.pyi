from graph.record.asked_day import *
