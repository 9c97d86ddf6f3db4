from graph.intake.column import *
