"""The cut links as walls: what each gives back, and what it adds to the loads."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.lattice import OPPOSITE, STEPS, WEIGHTS
from finial.tunnel.links import GridBox, Links
from finial.tunnel.neighbours import flat_steps, in_cells, summed_by, summed_round
from finial.tunnel.plates import PlateLinks, held_at_tails, plates_of
from finial.tunnel.records import Stream

GLIDING = 0.9
"""Share of the speed along a smooth wall that the wall moves along with; none at edges."""
PLATE_GLIDING = 1.0
"""The same of a thin plate along the wind, up to its tail."""
NEAR = 0.1
"""Way to the wall over the link below which it glides less: a cell on the wall itself would run away."""
SMOOTH = 0.95
"""Share of the normals round a cell that lie along one line: below it there is an edge."""


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
    glides: NDArray[np.float32]
    """What a link gives back less for each unit of its cell's velocity, link after link, shape (3 l,)."""
    portions: NDArray[np.float32]
    """Part of its cell's surplus of air that each link takes back, shape (l,)."""
    weights: NDArray[np.float64]
    """Loads for each unit that a link turns back, six that press and all six; 0 inside, shape (l, 12)."""
    places_m: NDArray[np.float64]
    """Where each link meets the wall [m], shape (l, 3)."""
    outside: NDArray[np.bool_]
    """Links of the air round the shape, shape (l,)."""
    skin: NDArray[np.int64]
    """Cell at the wall of each of those, numbered from 0."""
    skin_places_m: NDArray[np.float64]
    """Where each cell meets the wall [m], shape (s, 3)."""
    to_pressure: float
    """Pressure coefficient over density above that of rest."""


def walls_of(
    links: Links, box: GridBox, stream: Stream, *, speed: float, area_m2: float, width_m: float
) -> Walls:
    r"""Weigh each cut link, and say how its wall glides.

    .. math::  C = \frac{\Delta x^2}{\tfrac12 U^2 A} \sum_l c_l \left( f_l^* + f_{\bar l} \right), \qquad
               C_p = \frac{\Delta x^2}{\tfrac12 U^2 A} \sum_l \left( n_l (n_l \cdot c_l) - e \right)
                     \left( f_l^* + f_{\bar l} \right), \qquad
               e = \frac{\sum_l w_l \, n_l (n_l \cdot c_l)}{\sum_l w_l}

    with :math:`f_l^*` what leaves along a link, :math:`f_{\bar l}` what comes back, :math:`c_l` its
    direction and :math:`n_l` the normal of the surface there. The second is the part that presses: what is
    square to the wall, less what air of one pressure all round would press by the chance of where the links
    stand. A smooth wall moves along with the air at it, so that it holds little of it up,

    .. math::  f_{\bar l} \leftarrow f_{\bar l} - 6 s w_l \, u \cdot \left( c_l - n_l (n_l \cdot c_l) \right)

    with :math:`u` the velocity of the link's cell and :math:`s` the share that glides: ``GLIDING``, and none
    within a cell of an edge, where the air is to leave. Each link also gets its portion of its cell's surplus
    of air, which it takes off again:

    .. math::
        f_{\bar l} \leftarrow f_{\bar l} - \frac{w_l}{\sum_m w_m} \sum_m \left( f_{\bar m} - f_m^* \right)

    summed over the links :math:`m` of the cell.

    Parameters
    ----------
    links : Links
    box : GridBox
    stream : Stream
        Wind: a plate that lies along it is held at its tail alone.
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
    Momentum is exchanged exactly as the populations are turned back. On cells that are hundreds of times
    thicker than the skin of air that a wall really holds up, a wall that holds its air makes a body some
    cells fatter and lets the air leave where it would not; one that glides has no friction of its own, which
    has to be added. An edge is where the normals within a cell of a place do not lie along one line:
    the largest part of the tensor :math:`\sum_l w_l n_l n_l` is less than ``SMOOTH`` of its trace. Both sides
    of a thin plate lie along one.

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
    >>> walls = walls_of(one, box, Stream(angle_rad=0.0), speed=0.1, area_m2=1.0, width_m=1.0)
    >>> walls.weights[0, 6:9].round(1).tolist(), walls.skin_places_m.tolist()
    ([0.0, 0.0, 200.0], [[0.0, 0.0, 0.5]])
    """
    normals = links.normals.astype(float)
    towards = STEPS[links.directions].astype(float)
    places = np.array(box.origin_m) + box.cell_m * in_cells(links, box)
    unit, arms = 0.5 * speed**2 * area_m2 / box.cell_m**2, places / width_m
    square = np.einsum("lk,lk->l", towards, normals)[:, None] * normals
    skin, slot = np.unique(links.cells[links.outside], return_inverse=True)
    owners, starts = np.unique(links.cells, return_index=True)
    edges = _along_one_line(links, box) < SMOOTH
    plates = plates_of(links, box, stream.towards, edges)
    gliding = np.array(WEIGHTS)[links.directions] * _gliding(links, box, stream, plates, edges)
    glides = 6.0 * gliding[:, None] * (towards - square)
    return Walls(
        cells=links.cells,
        owners=owners,
        starts=np.append(starts, len(links.cells)),
        directions=links.directions,
        opposites=np.array(OPPOSITE)[links.directions],
        steps=flat_steps(box)[links.directions],
        shares=np.where(plates.sides, np.float32(0.5), _seen_from_both(links)),
        glides=glides.ravel().astype(np.float32),
        portions=_portions(links),
        weights=np.concatenate(
            [_closed(_loads(square, links, arms), links), _loads(towards, links, arms)], axis=1
        )
        / unit,
        places_m=places,
        outside=links.outside,
        skin=slot,
        skin_places_m=summed_by(places[links.outside], slot, len(skin)) / np.bincount(slot)[:, None],
        to_pressure=1.0 / (1.5 * speed**2),
    )


def pressures_at(walls: Walls, means: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Pressure coefficient of each cell at the wall.

    .. math::  c_p = \frac{1}{\tfrac32 U^2} \frac{\sum_l (f_l^* + f_{\bar l})}{\sum_l 2 w_l}

    summed over the links :math:`l` of the cell: what air at rest of that pressure would be turned back.

    Parameters
    ----------
    walls : Walls
    means : ndarray, shape (l,)
        What each link turned back in the mean [-].

    Returns
    -------
    pressures : ndarray, shape (s,)
        At ``walls.skin_places_m`` [-].

    Notes
    -----
    Air that moves along the wall adds the square of its speed, to second order.

    References
    ----------
    .. [1] Ladd, J. Fluid Mech. 271, 1994. From memory.

    Examples
    --------
    >>> one = Links(cells=np.array([0]), directions=np.array([1]), shares=np.array([0.5], np.float32),
    ...             normals=np.array([[0, 0, -1]], np.float32), outside=np.array([True]))
    >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(1, 1, 2))
    >>> walls = walls_of(one, box, Stream(angle_rad=0.0), speed=0.1, area_m2=1.0, width_m=1.0)
    >>> pressures_at(walls, np.array([2 * WEIGHTS[1] * 0.015])).round(6).tolist()
    [1.0]
    """
    still = 2.0 * np.array(WEIGHTS)[walls.directions[walls.outside]]
    turned = np.bincount(walls.skin, means[walls.outside]) / np.bincount(walls.skin, still)
    return turned * walls.to_pressure


def _closed(pressing: NDArray[np.float64], links: Links) -> NDArray[np.float64]:
    """Take off what air of one pressure all round would press: nothing on a closed shape, shape (l, 6)."""
    still = np.where(links.outside, np.array(WEIGHTS)[links.directions], 0.0)
    over = still @ pressing / max(float(still.sum()), np.finfo(float).tiny)
    return pressing - np.where(links.outside[:, None], over, 0.0)


def _loads(taken: NDArray[np.float64], links: Links, arms: NDArray[np.float64]) -> NDArray[np.float64]:
    kept = np.where(links.outside[:, None], taken, 0.0)
    return np.concatenate([kept, np.cross(arms, kept)], axis=1)


def _gliding(
    links: Links, box: GridBox, stream: Stream, plates: PlateLinks, edges: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Share of each link's wall that glides: none at edges, none round the air inside, all of a plate's."""
    near = np.minimum(links.shares / NEAR, 1.0)
    body = np.where(~edges & links.outside, GLIDING * near, 0.0)
    if not plates.all.any():
        return body
    tails = held_at_tails(links, box, stream.towards, edges)
    whole = PLATE_GLIDING * np.where(plates.sides, 1.0, near)
    return np.where(plates.all, np.where(tails, 0.0, whole), body)


def _along_one_line(links: Links, box: GridBox) -> NDArray[np.float64]:
    """Share of the normals within a cell of each link's own that lie along one line, shape (l,)."""
    cells, slot = np.unique(links.cells, return_inverse=True)
    normals = np.where(links.outside[:, None], links.normals.astype(float), 0.0)
    weights = np.array(WEIGHTS)[links.directions]
    tensors = weights[:, None, None] * normals[:, :, None] * normals[:, None, :]
    own = summed_by(tensors.reshape(-1, 9), slot, len(cells))
    tensors = summed_round(own, cells, box).reshape(-1, 3, 3)
    whole = np.einsum("ckk->c", tensors)
    largest = np.linalg.eigvalsh(tensors)[:, 2]
    return np.where(whole > 0.0, largest / np.where(whole > 0.0, whole, 1.0), 1.0)[slot]


def _seen_from_both(links: Links) -> NDArray[np.float32]:
    """Shares, halves where another wall stands close behind: nothing can be mixed in from there."""
    key = links.cells * len(STEPS) + links.directions
    behind = links.cells * len(STEPS) + np.array(OPPOSITE)[links.directions]
    return np.where(np.isin(behind, key), np.float32(0.5), links.shares.astype(np.float32))


def _portions(links: Links) -> NDArray[np.float32]:
    weights = np.array(WEIGHTS)[links.directions]
    whole = np.bincount(links.cells, weights)
    return (weights / whole[links.cells]).astype(np.float32)
