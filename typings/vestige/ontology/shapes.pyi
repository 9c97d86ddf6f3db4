from ontology.shapes import *
