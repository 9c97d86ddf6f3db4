from graph.answer.mark_claim import *
