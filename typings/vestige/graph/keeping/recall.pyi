from graph.keeping.recall import *
