from graph.keeping.sample import *
