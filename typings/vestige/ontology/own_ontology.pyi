from ontology.own_ontology import *
