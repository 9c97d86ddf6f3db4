from graph.keeping.fragment_fact import *
