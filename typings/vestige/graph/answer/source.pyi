from graph.answer.source import *
