from graph.answer.matching import *
