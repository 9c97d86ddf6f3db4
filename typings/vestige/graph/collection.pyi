from graph.collection import *
