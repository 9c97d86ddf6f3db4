from graph.answer.mark import *
