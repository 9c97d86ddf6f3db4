from graph.store.neo4j_server import *
