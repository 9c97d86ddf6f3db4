from graph.answer.likeness import *
