from ontology.history_writer import *
