from graph.reasoning.message_schedule import *
