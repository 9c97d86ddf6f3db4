from ontology.whole_export import *
