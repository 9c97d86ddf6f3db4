from graph.answer.next_examination import *
