from ontology.record_writer import *
