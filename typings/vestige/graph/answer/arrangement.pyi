from graph.answer.arrangement import *
