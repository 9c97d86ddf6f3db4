from ontology.linked_art import *
