from graph.store.neo4j_tables import *
