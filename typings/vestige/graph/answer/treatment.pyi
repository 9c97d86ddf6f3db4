from graph.answer.treatment import *
