from graph.answer.mark_match import *
