from graph.reasoning.inquiry import *
