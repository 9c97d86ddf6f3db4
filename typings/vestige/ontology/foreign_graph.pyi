from ontology.foreign_graph import *
