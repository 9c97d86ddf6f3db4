from graph.answer.assessment import *
