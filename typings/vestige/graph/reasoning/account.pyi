from graph.reasoning.account import *
