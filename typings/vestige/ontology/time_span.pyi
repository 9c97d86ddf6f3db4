from ontology.time_span import *
