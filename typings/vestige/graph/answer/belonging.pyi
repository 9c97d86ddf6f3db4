from graph.answer.belonging import *
