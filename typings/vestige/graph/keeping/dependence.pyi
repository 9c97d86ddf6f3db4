from graph.keeping.dependence import *
