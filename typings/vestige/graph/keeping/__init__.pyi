from graph.keeping import *
