from ontology.vocabulary import *
