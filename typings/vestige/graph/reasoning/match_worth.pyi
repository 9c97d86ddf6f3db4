from graph.reasoning.match_worth import *
