# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Sums over roll angles of the wind, for every row of a flight."""

import math

import numpy as np

from finial.core.typed_kernels import LINE, PAIR, PLANE, SPACE, of_types
from finial.flight.readout.compiled import READOUT


@of_types(READOUT, PLANE, LINE, LINE, SPACE, SPACE, PAIR)
def righting(asked, angle_grid, mach_grid, along, along_moment, sizes):
    """Moment that brings a vehicle back, over dynamic pressure and the sine of the angle, at its least roll.

    Parameters
    ----------
    asked : ndarray, shape (3, n)
        Angles of attack [rad], Mach numbers [-], stations of the balance point [m].
    angle_grid, mach_grid : ndarray
        Nodes of the table [rad], [-].
    along, along_moment : ndarray, shape (angles, rolls, machs)
        Its loads [-].
    sizes : tuple of float
        Width and area that they refer to [m], [m^2].

    Returns
    -------
    least : ndarray, shape (n,)
        See ``finial.flight.steadiness.righting_m3`` [m^3].

    References
    ----------
    .. [1] As there: linear between the nodes.
    """
    alphas, machs, balances = asked
    width_m, area_m2 = sizes
    least = np.empty(alphas.size)
    last_row, last_column = angle_grid.size - 1, mach_grid.size - 1
    for one in range(alphas.size):
        row, up = 0, 0.0
        if last_row > 0:
            row = min(max(np.searchsorted(angle_grid, alphas[one], side="right") - 1, 0), last_row - 1)
            up = (alphas[one] - angle_grid[row]) / (angle_grid[row + 1] - angle_grid[row])
            up = min(max(up, 0.0), 1.0)
        column, right = 0, 0.0
        if last_column > 0:
            column = min(max(np.searchsorted(mach_grid, machs[one], side="right") - 1, 0), last_column - 1)
            right = (machs[one] - mach_grid[column]) / (mach_grid[column + 1] - mach_grid[column])
            right = min(max(right, 0.0), 1.0)
        next_row, next_column = min(row + 1, last_row), min(column + 1, last_column)
        smallest = math.inf
        for roll in range(along.shape[1]):
            below = along[row, roll, column] * (1.0 - up) + along[next_row, roll, column] * up
            above = along[row, roll, next_column] * (1.0 - up) + along[next_row, roll, next_column] * up
            force = below * (1.0 - right) + above * right
            below = along_moment[row, roll, column] * (1.0 - up) + along_moment[next_row, roll, column] * up
            above = (
                along_moment[row, roll, next_column] * (1.0 - up)
                + along_moment[next_row, roll, next_column] * up
            )
            moment = below * (1.0 - right) + above * right
            smallest = min(smallest, area_m2 * (width_m * moment - balances[one] * force))
        least[one] = smallest
    return least


@of_types(READOUT, PLANE, LINE, LINE, LINE, LINE)
def least_sine(flown, fading, areas_m2, moments_m3, inertias_m4):
    """Sine of the angle from which a swing grows, over all rows and rolls.

    Parameters
    ----------
    flown : ndarray, shape (3, rows)
        Balance point [m], inertia across [kg m^2] and mass [kg].
    fading : ndarray, shape (rows,)
        What ends a swing [m^2/kg].
    areas_m2, moments_m3, inertias_m4 : ndarray, shape (rolls,)
        What drives it: a width along the body [m^2], its first and second moments about the tip [m^3], [m^4].

    Returns
    -------
    sine : float
        1 where nothing drives it [-]; below zero where it grows by itself.

    References
    ----------
    .. [1] As ``finial.flight.gallops.galloping_angles``.
    """
    centres_m, across_kg_m2, masses_kg = flown
    least = math.inf
    for row in range(centres_m.size):
        of_inertia = 1.0 / across_kg_m2[row]
        of_moment = -2.0 * centres_m[row] / across_kg_m2[row]
        of_area = centres_m[row] ** 2 / across_kg_m2[row] + 1.0 / masses_kg[row]
        drive = -math.inf
        for roll in range(areas_m2.size):
            driven = of_area * areas_m2[roll] + of_moment * moments_m3[roll] + of_inertia * inertias_m4[roll]
            drive = max(drive, driven)
        least = min(least, fading[row] / drive if drive > 0.0 else 1.0)
    return least
