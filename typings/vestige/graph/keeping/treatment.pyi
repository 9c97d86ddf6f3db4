from graph.keeping.treatment import *
