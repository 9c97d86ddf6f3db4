from graph.intake.csv_folder import *
