from graph.answer.arrangement_change import *
