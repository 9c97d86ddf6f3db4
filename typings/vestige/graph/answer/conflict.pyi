from graph.answer.conflict import *
