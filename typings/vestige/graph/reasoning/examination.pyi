from graph.reasoning.examination import *
