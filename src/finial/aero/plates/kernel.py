# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""What every vortex of a lattice does at every point of its plane."""

import math

import numpy as np

from finial.aero.plates.compiled import PLATES
from finial.core.typed_kernels import LINE, PLANE, of_types


@of_types(PLATES, LINE, LINE, PLANE, LINE)
def downwash(x, y, bound, edges):
    """Upward wash at points of the plane from unit horseshoes.

    Parameters
    ----------
    x, y : ndarray, shape (points,)
        Aft and outward [m].
    bound : ndarray, shape (along, across + 1)
        How far aft each row of bound vortices lies at each edge [m].
    edges : ndarray, shape (across + 1,)
        How far outward the trailing vortices lie [m].

    Returns
    -------
    wash : ndarray, shape (along * across, points)
        Of each horseshoe, row by row, at each point [1/m].

    Notes
    -----
    A point in line with a bound vortex feels nothing from it.

    References
    ----------
    .. [1] As ``finial.aero.plates.lattice.lattice_lift``.
    """
    rows, across = bound.shape[0], bound.shape[1] - 1
    wash = np.empty((rows * across, x.size))
    # Aft, outward, their cosines, and what trails: of the edge before, then of this one.
    before, here = np.empty((5, x.size)), np.empty((5, x.size))
    for row in range(rows):
        for edge in range(across + 1):
            for one in range(x.size):
                aft, out = x[one] - bound[row, edge], y[one] - edges[edge]
                nearness = 1.0 / math.sqrt(aft * aft + out * out)
                here[0, one], here[1, one] = aft, out
                here[2, one], here[3, one] = aft * nearness, out * nearness
                here[4, one] = (aft * nearness + 1.0) / out
            if edge > 0:
                back, wide = bound[row, edge] - bound[row, edge - 1], edges[edge] - edges[edge - 1]
                for one in range(x.size):
                    cross = before[0, one] * here[1, one] - here[0, one] * before[1, one]
                    tied = back * (before[2, one] - here[2, one]) + wide * (before[3, one] - here[3, one])
                    felt = 0.0 if abs(cross) < 1e-12 else tied / cross
                    trailing = here[4, one] - before[4, one]
                    wash[row * across + edge - 1, one] = (felt + trailing) / (4.0 * math.pi)
            before, here = here, before
    return wash
