from graph.answer.match_told import *
