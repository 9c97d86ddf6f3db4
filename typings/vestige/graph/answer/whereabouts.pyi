from graph.answer.whereabouts import *
