from graph.answer.recall_walk import *
