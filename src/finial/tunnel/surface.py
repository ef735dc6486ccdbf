"""The cut links as walls: what each gives back, and what it adds to the loads."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.lattice import OPPOSITE, STEPS, WEIGHTS
from finial.tunnel.links import GridBox, Links

LOADS = 12
"""Pressure part of three forces and three moments, then the whole of them."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Walls:
    """Cut links, with weights that turn what each takes from the air into loads."""

    cells: NDArray[np.int64]
    directions: NDArray[np.int64]
    opposites: NDArray[np.int64]
    steps: NDArray[np.int64]
    """From the cell to its neighbour, in flat indices, shape (l,)."""
    shares: NDArray[np.float32]
    weights: NDArray[np.float64]
    """Loads over dynamic pressure and area, moments also over the width, shape (l, 12)."""
    places_m: NDArray[np.float64]
    """Where each meets the wall [m], shape (l, 3)."""
    cell_of: NDArray[np.int64]
    """Number of the surface cell that each belongs to, of those in the air; -1 inside, shape (l,)."""
    pressure: NDArray[np.float64]
    """What turns the take of each into a pressure coefficient on its cell's wall, shape (l,)."""


def walls_of(links: Links, box: GridBox, speed: float, area_m2: float, width_m: float) -> Walls:
    r"""Weigh each cut link.

    .. math::  F = \sum_l c_l \left( f_l^* + f_{\bar l} \right), \quad
               C = \frac{F}{\tfrac12 U^2 A / \Delta x^2}, \quad F_p = (F \cdot n) \, n

    Parameters
    ----------
    links : Links
    box : GridBox
    speed : float
        Of the wind, in cells a step.
    area_m2, width_m : float
        What loads and moments stand on.

    Returns
    -------
    walls : Walls
        Links inside the shape push back on the air there and add nothing to the loads.

    References
    ----------
    .. [1] Ladd, "Numerical simulations of particulate suspensions via a discretized Boltzmann
       equation", J. Fluid Mech. 271, 1994: momentum exchange. From memory.
    """
    towards = STEPS[links.directions].astype(float)
    places = _centres(links.cells, box) + links.shares[:, None] * towards * box.cell_m
    unit = 0.5 * speed**2 * area_m2 / box.cell_m**2
    taken = np.where(links.outside[:, None], towards, 0.0) / unit
    normals = links.normals.astype(float)
    pressed = (taken * normals).sum(axis=1, keepdims=True) * normals
    arms = places / width_m
    parts = [pressed, np.cross(arms, pressed), taken, np.cross(arms, taken)]
    cell_of = np.full(len(links.cells), -1)
    cell_of[links.outside] = np.unique(links.cells[links.outside], return_inverse=True)[1]
    return Walls(
        cells=links.cells,
        directions=links.directions,
        opposites=np.array(OPPOSITE)[links.directions],
        steps=_offsets(box)[links.directions],
        shares=_seen_from_both(links, box),
        weights=np.concatenate(parts, axis=1),
        places_m=places,
        cell_of=cell_of,
        pressure=_pressure(links, towards, normals, cell_of, speed),
    )


def _seen_from_both(links: Links, box: GridBox) -> NDArray[np.float32]:
    """Shares, halves where another wall stands close behind: nothing can be mixed in from there."""
    key = links.cells * 27 + links.directions
    behind = links.cells * 27 + np.array(OPPOSITE)[links.directions]
    return np.where(np.isin(behind, key), np.float32(0.5), links.shares.astype(np.float32))


def _pressure(
    links: Links,
    towards: NDArray[np.float64],
    normals: NDArray[np.float64],
    cell_of: NDArray[np.int64],
    speed: float,
) -> NDArray[np.float64]:
    r"""Weights so that the sum over a cell's links is its pressure coefficient.

    At rest every link takes :math:`2 w p / c_s^2`; the sum of those square to the wall tells how much
    wall the cell stands for.
    """
    square = -(towards * normals).sum(axis=1)
    still = 6.0 * np.array(WEIGHTS)[links.directions] * square
    known = cell_of >= 0
    whole = np.bincount(cell_of[known], still[known], minlength=int(cell_of.max(initial=-1)) + 1)
    weights = np.zeros(len(square))
    size = whole[cell_of[known]]
    weights[known] = np.where(np.abs(size) > 0.05, square[known] / np.where(size == 0.0, 1.0, size), 0.0)
    return weights / (0.5 * speed**2)


def _offsets(box: GridBox) -> NDArray[np.int64]:
    return (STEPS[:, 2] * box.counts[1] + STEPS[:, 1]) * box.counts[0] + STEPS[:, 0]


def _centres(cells: NDArray[np.int64], box: GridBox) -> NDArray[np.float64]:
    rows, i = np.divmod(cells, box.counts[0])
    k, j = np.divmod(rows, box.counts[1])
    return np.array(box.origin_m) + box.cell_m * np.stack([i, j, k], axis=1)
