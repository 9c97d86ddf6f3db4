from graph.answer.recall import *
