from graph.answer.label import *
