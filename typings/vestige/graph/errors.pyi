from graph.errors import *
