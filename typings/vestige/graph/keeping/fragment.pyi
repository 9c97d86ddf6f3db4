from graph.keeping.fragment import *
