from graph.store.neo4j_read import *
