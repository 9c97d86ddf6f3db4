from graph.answer.caution import *
