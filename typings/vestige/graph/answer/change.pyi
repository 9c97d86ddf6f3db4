from graph.answer.change import *
