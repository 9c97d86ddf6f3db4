from graph.reasoning.picture_scale import *
