from ontology.query_process import *
