from graph.answer.acting import *
