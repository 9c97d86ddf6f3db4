from ontology.rdf_file import *
