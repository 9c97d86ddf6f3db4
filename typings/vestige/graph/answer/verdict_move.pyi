from graph.answer.verdict_move import *
