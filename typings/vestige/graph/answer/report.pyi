from graph.answer.report import *
