from graph.store.neo4j_store import *
