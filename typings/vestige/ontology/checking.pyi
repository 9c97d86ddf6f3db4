from ontology.checking import *
