from ontology.verdict_writer import *
