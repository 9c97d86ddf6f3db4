from graph.answer.unknown import *
