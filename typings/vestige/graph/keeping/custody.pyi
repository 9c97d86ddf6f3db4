from graph.keeping.custody import *
