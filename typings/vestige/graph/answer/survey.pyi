from graph.answer.survey import *
