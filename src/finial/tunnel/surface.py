"""The cut links as walls: what each gives back, and what it adds to the loads."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.lattice import OPPOSITE, STEPS, WEIGHTS
from finial.tunnel.links import GridBox, Links


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Walls:
    """Cut links, and weights that turn what the walls take from the air into loads.

    Loads are over dynamic pressure and area, moments also over the width: three forces, three moments.
    """

    cells: NDArray[np.int64]
    """Cell that each link starts from, rising, shape (l,)."""
    owners: NDArray[np.int64]
    """The same, each cell once, shape (o,)."""
    starts: NDArray[np.int64]
    """First link of each owner, and the end, shape (o + 1,)."""
    directions: NDArray[np.int64]
    opposites: NDArray[np.int64]
    steps: NDArray[np.int64]
    """From the cell to its neighbour, in flat indices, shape (l,)."""
    shares: NDArray[np.float32]
    portions: NDArray[np.float32]
    """Part of its cell's surplus of air that each link takes back, shape (l,)."""
    weights: NDArray[np.float64]
    """Loads for each unit of momentum that a link turns back; 0 inside the shape, shape (l, 6)."""
    skin: NDArray[np.int64]
    """Cells of the air that touch the shape, shape (s,)."""
    skin_weights: NDArray[np.float64]
    """Loads for each unit of density over that of rest, shape (s, 6)."""
    skin_places_m: NDArray[np.float64]
    """Where each meets the wall [m], shape (s, 3)."""
    to_pressure: float
    """Pressure coefficient over density above that of rest."""


def walls_of(links: Links, box: GridBox, speed: float, area_m2: float, width_m: float) -> Walls:
    r"""Weigh each cut link and each cell at the wall.

    .. math::  C = \frac{\Delta x^2}{\tfrac12 U^2 A} \sum_l c_l \left( f_l^* + f_{\bar l} \right), \qquad
               C_p = \frac{\Delta x^2}{\tfrac12 U^2 A} \sum_l 2 w_l c_l (\rho_l - 1)

    with :math:`f_l^*` what leaves along a link, :math:`f_{\bar l}` what comes back, and :math:`c_l` its
    direction. The second is what a link takes from air at rest of the same density: the part that presses,
    edges and corners with it. Each link also gets its portion of its cell's surplus of air, which it takes
    off again:

    .. math::
        f_{\bar l} \leftarrow f_{\bar l} - \frac{w_l}{\sum_m w_m} \sum_m \left( f_{\bar m} - f_m^* \right)

    summed over the links :math:`m` of the cell.

    Parameters
    ----------
    links : Links
    box : GridBox
    speed : float
        Of the wind [cells a step].
    area_m2, width_m : float
        What loads [m^2] and moments [m] stand on.

    Returns
    -------
    walls : Walls
        Links inside the shape push back on the air there and add nothing to the loads.

    Notes
    -----
    Momentum is exchanged exactly as the populations are turned back; their friction is far too large on
    slim shapes.

    References
    ----------
    .. [1] Ladd, "Numerical simulations of particulate suspensions via a discretized Boltzmann
       equation", J. Fluid Mech. 271, 1994: momentum exchange. From memory.
    .. [2] Bouzidi, Firdaouss, Lallemand, "Momentum transfer of a Boltzmann-lattice fluid with boundaries",
       Phys. Fluids 13, 2001: links cut anywhere. From memory; that a cell's surplus is taken off is ours.

    Examples
    --------
    >>> one = Links(cells=np.array([0]), directions=np.array([1]), shares=np.array([0.5], np.float32),
    ...             normals=np.array([[0, 0, -1]], np.float32), outside=np.array([True]))
    >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(1, 1, 2))
    >>> walls = walls_of(one, box, 0.1, area_m2=1.0, width_m=1.0)
    >>> walls.weights[0, :3].round(1).tolist(), walls.skin_places_m.tolist()
    ([0.0, 0.0, 200.0], [[0.0, 0.0, 0.5]])
    """
    towards = STEPS[links.directions].astype(float)
    places = _centres(links.cells, box) + links.shares[:, None] * towards * box.cell_m
    unit = 0.5 * speed**2 * area_m2 / box.cell_m**2
    taken = np.where(links.outside[:, None], towards, 0.0) / unit
    weights = np.concatenate([taken, np.cross(places / width_m, taken)], axis=1)
    skin, slot = np.unique(links.cells[links.outside], return_inverse=True)
    owners, starts = np.unique(links.cells, return_index=True)
    still = 2.0 * np.array(WEIGHTS)[links.directions[links.outside], None]
    return Walls(
        cells=links.cells,
        owners=owners,
        starts=np.append(starts, len(links.cells)),
        directions=links.directions,
        opposites=np.array(OPPOSITE)[links.directions],
        steps=_offsets(box)[links.directions],
        shares=_seen_from_both(links),
        portions=_portions(links),
        weights=weights,
        skin=skin,
        skin_weights=summed_by(still * weights[links.outside], slot, len(skin)),
        skin_places_m=summed_by(places[links.outside], slot, len(skin)) / np.bincount(slot)[:, None],
        to_pressure=1.0 / (1.5 * speed**2),
    )


def _seen_from_both(links: Links) -> NDArray[np.float32]:
    """Shares, halves where another wall stands close behind: nothing can be mixed in from there."""
    key = links.cells * len(STEPS) + links.directions
    behind = links.cells * len(STEPS) + np.array(OPPOSITE)[links.directions]
    return np.where(np.isin(behind, key), np.float32(0.5), links.shares.astype(np.float32))


def _portions(links: Links) -> NDArray[np.float32]:
    weights = np.array(WEIGHTS)[links.directions]
    whole = np.bincount(links.cells, weights)
    return (weights / whole[links.cells]).astype(np.float32)


def summed_by(rows: NDArray[np.float64], slot: NDArray[np.int64], count: int) -> NDArray[np.float64]:
    r"""Add up the rows that belong to each slot.

    .. math::  a_{sk} = \sum_{n: \, slot_n = s} r_{nk}

    Parameters
    ----------
    rows : ndarray, shape (n, columns)
        What is added, of whatever unit [any unit].
    slot : ndarray of int, shape (n,)
        Of each row, 0 to ``count`` - 1 [-].
    count : int
        Slots [-].

    Returns
    -------
    added : ndarray, shape (count, columns)
        Sums, 0 for a slot without rows [any unit].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> summed_by(np.array([[1.0], [2.0], [4.0]]), np.array([0, 1, 1]), 3).tolist()
    [[1.0], [6.0], [0.0]]
    """
    added = np.zeros((count, rows.shape[1]))
    np.add.at(added, slot, rows)
    return added


def _offsets(box: GridBox) -> NDArray[np.int64]:
    return (STEPS[:, 2] * box.counts[1] + STEPS[:, 1]) * box.counts[0] + STEPS[:, 0]


def _centres(cells: NDArray[np.int64], box: GridBox) -> NDArray[np.float64]:
    rows, i = np.divmod(cells, box.counts[0])
    k, j = np.divmod(rows, box.counts[1])
    return np.array(box.origin_m) + box.cell_m * np.stack([i, j, k], axis=1)
