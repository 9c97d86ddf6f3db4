from ontology.own_reader import *
