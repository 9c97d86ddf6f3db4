from graph.reasoning.chronology import *
