from graph.answer.life import *
