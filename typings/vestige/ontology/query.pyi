from ontology.query import *
