from graph.answer.decision import *
