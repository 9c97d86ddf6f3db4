from graph.answer.dependence import *
