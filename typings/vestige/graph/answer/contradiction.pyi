from graph.answer.contradiction import *
