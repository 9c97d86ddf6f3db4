from demo import *
