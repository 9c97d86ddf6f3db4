from graph.answer.due import *
