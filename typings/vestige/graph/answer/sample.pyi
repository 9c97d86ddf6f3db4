from graph.answer.sample import *
