from ontology.taking_in import *
