"""The 27 directions of the lattice, their weights and their opposites."""

from itertools import product

import numpy as np

DIRECTIONS: tuple[tuple[int, int, int], ...] = tuple(
    sorted(product((0, 1, -1), (0, 1, -1), (0, 1, -1)), key=lambda each: sum(map(abs, each)))
)
"""Steps to the neighbours along station, a, b; rest first."""
WEIGHTS = tuple((8 / 27, 2 / 27, 1 / 54, 1 / 216)[sum(map(abs, each))] for each in DIRECTIONS)
OPPOSITE = tuple(DIRECTIONS.index((-a, -b, -c)) for a, b, c in DIRECTIONS)

BYTES_A_CELL = 2 * 4 * len(DIRECTIONS)
"""The air of a cell: two copies, in single precision."""
EDDY_BYTES_A_CELL = 4 * 4 + 1
"""With Vreman's eddies: a velocity, a friction, and which sides are shut."""
STEPS = np.array(DIRECTIONS, dtype=np.int64)
STEPS.flags.writeable = False
