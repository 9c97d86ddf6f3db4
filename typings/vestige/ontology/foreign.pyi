from ontology.foreign import *
