from graph.answer.round import *
