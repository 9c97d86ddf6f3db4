from graph.keeping.fragment_material import *
