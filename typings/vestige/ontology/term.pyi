from ontology.term import *
