from graph.answer.sequence import *
