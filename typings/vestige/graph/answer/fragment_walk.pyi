from graph.answer.fragment_walk import *
