from graph.keeping.retention import *
