from graph.answer.element_history import *
