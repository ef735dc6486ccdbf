"""How many small faults, put into the code one at a time, do the tests beside that code find?"""
