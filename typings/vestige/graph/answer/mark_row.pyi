from graph.answer.mark_row import *
