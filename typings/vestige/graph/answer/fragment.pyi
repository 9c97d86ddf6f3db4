from graph.answer.fragment import *
