from graph.answer import *
