from graph.answer.custody import *
