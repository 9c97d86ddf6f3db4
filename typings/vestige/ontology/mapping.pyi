from ontology.mapping import *
