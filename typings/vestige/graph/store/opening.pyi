from graph.store.opening import *
