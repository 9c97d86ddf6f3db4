from graph.answer.inference import *
