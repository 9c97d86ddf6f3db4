from graph.answer.window import *
