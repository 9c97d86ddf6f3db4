from graph.store.derive import *
