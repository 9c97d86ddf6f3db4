from graph.answer.code_walk import *
