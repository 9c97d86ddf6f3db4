from graph.answer.report_parts import *
