from graph.answer.withheld_walk import *
