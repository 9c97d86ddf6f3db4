from graph.store.archive_file import *
