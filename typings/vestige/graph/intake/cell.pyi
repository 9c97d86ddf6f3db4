from graph.intake.cell import *
