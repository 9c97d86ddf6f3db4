from graph.answer.answer import *
