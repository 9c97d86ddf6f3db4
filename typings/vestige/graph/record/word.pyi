from graph.record.word import *
