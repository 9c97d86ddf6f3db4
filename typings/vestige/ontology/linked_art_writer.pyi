from ontology.linked_art_writer import *
