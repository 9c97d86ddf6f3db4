from graph.answer.change_walk import *
