from graph.answer.found import *
