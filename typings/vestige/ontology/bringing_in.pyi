from ontology.bringing_in import *
