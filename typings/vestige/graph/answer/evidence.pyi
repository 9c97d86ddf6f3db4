from graph.answer.evidence import *
