from graph.record.edtf_reader import *
