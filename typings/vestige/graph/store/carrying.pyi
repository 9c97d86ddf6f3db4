from graph.store.carrying import *
