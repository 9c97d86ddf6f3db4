from demo.environment import *
