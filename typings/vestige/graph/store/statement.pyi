from graph.store.statement import *
