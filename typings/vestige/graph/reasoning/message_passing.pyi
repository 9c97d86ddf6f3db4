from graph.reasoning.message_passing import *
