"""Everything that a run needs before its first step, as arrays that any machine takes."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.boxes import Hidden, Nested, nested_boxes
from finial.tunnel.bridges import Bridge, bridge, flat, needs_of, rim_cells
from finial.tunnel.collision import Statement, populations, velocity
from finial.tunnel.cutting.faces import doubled_normals
from finial.tunnel.debts import Debts, debts_between
from finial.tunnel.eddies import shut_sides
from finial.tunnel.lattice import BYTES_A_CELL, EDDY_BYTES_A_CELL, STEPS, WEIGHTS
from finial.tunnel.links import GridBox, Links, cut_links, inside_by
from finial.tunnel.records import Eddies, Fineness, Stream, TunnelShape
from finial.tunnel.surface import Walls, walls_of

LEAST_VISCOSITY = 2e-5
"""Of the finest grid, in cells squared a step: below it the lattice's own errors are larger."""
_SPONGE = 0.3
"""Relaxation time that is added where the air leaves."""
_SPONGE_WIDTHS = 1.5
_STIR = 0.03
"""Chance velocity in each direction at the start, over the wind's."""
_LAYERS: dict[Eddies, int] = {"smagorinsky": 1, "vreman": 2}
"""Wide cells inside a finer grid that it tells: Vreman's eddies ask a step's velocities a cell further in."""
_LEAVES = 0.5
"""A side is left by the air where the wind's part square to it is more than so much."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Setup:
    """Grids, walls and air of a run."""

    nested: Nested
    hidden: tuple[Hidden, ...]
    """Of each grid: cells that need no step."""
    bridges: tuple[Bridge, ...]
    """Between each grid and the next finer one."""
    debts: tuple[Debts, ...]
    """The same: what passes between them, counted on both; none where it is not asked for."""
    relaxation: tuple[tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.float32]], ...]
    """Relaxation time of each grid along each axis: their sum counts."""
    shut: tuple[NDArray[np.uint8], ...]
    """Sides of each grid's cells with no air of their own behind, for Vreman's eddies; else none."""
    stress_ratios: tuple[float, ...]
    """Stress of the finer grid over that of the wider, for each bridge."""
    stream: NDArray[np.float32]
    """Populations of the wind, shape (27,)."""
    still: NDArray[np.bool_]
    """Cells of the finest grid that start at rest, shape (n,)."""
    leaving: NDArray[np.int64]
    """Cells of the widest grid's rim where the air leaves."""
    leaving_from: NDArray[np.int64]
    """The cells inside that they are like."""
    leaving_needs: NDArray[np.int32]
    """Directions that air leaves each of the former in to a cell that is stepped, a bit each."""
    walls: Walls
    speed: float
    reynolds: float
    blockage: float
    """Area that the shape shows to the wind over that of the tunnel [-]."""

    @property
    def bytes_needed(self) -> int:
        """Memory of the air in two copies, and of the walls."""
        a_cell = BYTES_A_CELL + (EDDY_BYTES_A_CELL if self.shut else 0)
        return a_cell * self.nested.cells + 120 * len(self.walls.cells)


def set_up(
    shape: TunnelShape, stream: Stream, fineness: Fineness, *, area_m2: float, width_m: float
) -> Setup:
    r"""Lay the grids, cut the walls, still the air inside.

    .. math::
        \nu = \max \left( \frac{U N}{Re}, \; 2 \cdot 10^{-4} \right), \qquad
        \tau_g = \tfrac12 + \frac{3 \nu}{2^g}, \qquad
        \frac{k_{fine}}{k_{wide}} = \frac{\tau_{fine} - 1}{2 (\tau_{wide} - 1)}

    with :math:`U` the wind [cells a step], :math:`N` cells to a width, :math:`\nu` the viscosity of the
    finest grid [cells^2 a step], :math:`\tau_g` the relaxation time [steps] of the grid whose cells are
    :math:`2^g` times as wide, and :math:`k` the stress off equilibrium after a collision.

    Parameters
    ----------
    shape : TunnelShape
    stream : Stream
    fineness : Fineness
    area_m2, width_m : float
        Reference area [m^2] and width [m].

    Returns
    -------
    setup : Setup

    Raises
    ------
    OutsideRange
        If the shape has no triangle.

    Notes
    -----
    The viscosity is that of the Reynolds number asked for, or the least that the lattice bears: the setup
    tells the Reynolds number it runs at. Holds for Reynolds numbers well above 6 U N: there the finest grid's
    relaxation time is 1, and the stress cannot be scaled. Where the air leaves, up to
    0.3 is added to the relaxation time over one and a half widths, by judgement.

    References
    ----------
    .. [1] Dupuis and Chopard, "Theory and applications of an alternative lattice Boltzmann grid refinement
       algorithm", Phys. Rev. E 67, 2003: the stress scaled from grid to grid. From memory.
    .. [2] Krueger, Kusumaatmaja, Kuzmin, Shardt, Silva and Viggen, The Lattice Boltzmann Method, 2017:
       viscosity and relaxation time. From memory.

    Examples
    --------
    >>> plate = TunnelShape(points_m=np.eye(3), triangles=np.array([[0, 1, 2]]))
    >>> short = Fineness(cells=4.0, grids=1, side_widths=1.0)
    >>> setup = set_up(plate, Stream(angle_rad=0.0, reynolds=100.0), short, area_m2=1.0, width_m=1.0)
    >>> round(setup.reynolds), len(setup.stream)
    (100, 27)
    """
    nested = nested_boxes(shape, stream, fineness, width_m)
    finest = nested.boxes[-1]
    viscosity = max(fineness.speed * fineness.cells / stream.reynolds, LEAST_VISCOSITY)
    times = [0.5 + 3.0 * viscosity / 2.0**finer for finer in range(fineness.grids)][::-1]
    leaving, leaving_from, leaving_needs = _leaving(nested.boxes[0], stream)
    links = cut_links(shape, finest)
    layers = _LAYERS[fineness.eddies]
    wind = equilibrium(np.array(stream.towards) * fineness.speed)
    hides = tuple(nested.hidden(level, layers) for level in range(fineness.grids))
    return Setup(
        nested=nested,
        hidden=hides,
        bridges=tuple(
            bridge(wide, fine, corner, layers=layers, hidden=hidden)
            for wide, fine, corner, hidden in zip(
                nested.boxes[:-1], nested.boxes[1:], nested.corners[1:], hides[:-1], strict=True
            )
        ),
        debts=tuple(
            debts_between(wide, fine, corner, wind)
            for wide, fine, corner in zip(
                nested.boxes[:-1], nested.boxes[1:], nested.corners[1:], strict=True
            )
            if fineness.conserving
        ),
        relaxation=tuple(
            _relaxation(box, time, stream, width_m, sponge=level == 0)
            for level, (box, time) in enumerate(zip(nested.boxes, times, strict=True))
        ),
        shut=_shut(nested, links) if fineness.eddies == "vreman" else (),
        stress_ratios=tuple((fine - 1.0) / (2.0 * (wide - 1.0)) for wide, fine in pairwise(times)),
        stream=wind,
        still=inside_by(links, finest.counts).ravel(),
        leaving=leaving,
        leaving_from=leaving_from,
        leaving_needs=leaving_needs,
        walls=walls_of(links, finest, stream, speed=fineness.speed, area_m2=area_m2, width_m=width_m),
        speed=fineness.speed,
        reynolds=fineness.speed * fineness.cells / viscosity,
        blockage=_blockage(shape, stream, nested.boxes[0]),
    )


def _shut(nested: Nested, links: Links) -> tuple[NDArray[np.uint8], ...]:
    """Shut sides of the cells of each grid: rims, and on the finest also walls."""
    *wide, finest = nested.boxes
    none = np.zeros(0, dtype=np.int64)
    return (
        *(shut_sides(box, none, none) for box in wide),
        shut_sides(finest, links.cells, links.directions),
    )


def equilibrium(towards: NDArray[np.float64]) -> NDArray[np.float32]:
    r"""Write the populations of air at rest density that moves along.

    .. math::
        f_q = w_q \left( 3 \, c_q \! \cdot u + \tfrac92 (c_q \! \cdot u)^2 - \tfrac32 u^2
              + \tfrac{27}2 \sum_{a \ne b} (c_{qa}^2 - \tfrac13) c_{qb} u_a^2 u_b
              + 27 c_{qx} c_{qy} c_{qz} u_x u_y u_z \right)

    Parameters
    ----------
    towards : ndarray, shape (3,)
        Velocity [cells a step].

    Returns
    -------
    stream : ndarray, shape (27,)
        What they differ by from those of air at rest [-].

    Notes
    -----
    To the third order in velocity, below 0.3 cells a step.

    References
    ----------
    .. [1] Malaspinas, arXiv:1505.06900, 2015. From memory.

    Examples
    --------
    >>> moving = equilibrium(np.array([0.1, 0.0, 0.0]))
    >>> (moving @ STEPS).round(6).tolist()
    [0.1, 0.0, 0.0]
    """
    air: dict[str, float] = dict.fromkeys(("kxx", "kyy", "kzz", "kxy", "kxz", "kyz", "dr"), 0.0)
    air |= dict(zip(("mx", "my", "mz"), (float(part) for part in towards), strict=True))

    def put(q: int, value: str) -> Statement:
        return f"g{q}", value

    for name, value in [*velocity(), *populations(put)]:
        air[name] = eval(value, {"F": float}, air)
    return np.array([air[f"g{q}"] for q in range(27)], dtype=np.float32)


def start(setup: Setup, level: int) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    r"""Lay out air that moves as the wind everywhere but inside the shape, in two copies.

    Round the shape it is stirred: a wake that starts in perfect symmetry keeps it, as no real one does.

    .. math::  f_q = f_q^{wind} + 3 w_q \, c_q \! \cdot u', \qquad u' \sim \mathcal N(0, \, 0.03 \, U)

    Parameters
    ----------
    setup : Setup
    level : int
        Which grid, 0 the widest [-].

    Returns
    -------
    air, copy : ndarray, shape (27 n,)
        Populations of all its cells, direction by direction [-].

    Notes
    -----
    The stirring is the same each time, and of the finest grid alone. It changes no cell's density;
    neighbours are stirred without regard to one another.

    References
    ----------
    .. [1] Judgement from trials: 3 % of the wind, which is gone long before loads count.

    Examples
    --------
    >>> plate = TunnelShape(points_m=np.eye(3), triangles=np.array([[0, 1, 2]]))
    >>> short = Fineness(cells=4.0, grids=1, side_widths=1.0)
    >>> setup = set_up(plate, Stream(angle_rad=0.0), short, area_m2=1.0, width_m=1.0)
    >>> len(start(setup, 0)[0]) == 27 * setup.nested.cells
    True
    """
    cells = setup.nested.boxes[level].cells
    air = np.repeat(setup.stream, cells)
    if level == len(setup.nested.boxes) - 1:
        by_direction = air.reshape(27, -1)
        by_direction += _stirred(cells, setup.speed)
        by_direction[:, setup.still] = 0.0
    return air, air.copy()


def first_speeds(setup: Setup, level: int) -> NDArray[np.float32]:
    """Velocities of the wind in all cells of a grid, component by component.

    Parameters
    ----------
    setup : Setup
    level : int
        Which grid, 0 the widest [-].

    Returns
    -------
    speeds : ndarray, shape (3 n,)
        [cells a step].

    Notes
    -----
    The first step alone looks at them; the rim's are looked at by none.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> plate = TunnelShape(points_m=np.eye(3), triangles=np.array([[0, 1, 2]]))
    >>> short = Fineness(cells=4.0, grids=1, side_widths=1.0, eddies="vreman")
    >>> setup = set_up(plate, Stream(angle_rad=0.0), short, area_m2=1.0, width_m=1.0)
    >>> round(float(first_speeds(setup, 0)[0]), 3), len(setup.shut)
    (0.1, 1)
    """
    wind = STEPS.T.astype(np.float32) @ setup.stream
    return np.repeat(wind, setup.nested.boxes[level].cells)


def _stirred(cells: int, speed: float) -> NDArray[np.float32]:
    """Draw what chance velocities add to the populations, the same for every run, shape (27, cells)."""
    size = np.float32(_STIR * speed)
    velocities = size * np.random.default_rng(1).standard_normal((3, cells), dtype=np.float32)
    pull = (3.0 * np.array(WEIGHTS)[:, None] * STEPS).astype(np.float32)
    return np.asarray(pull @ velocities, dtype=np.float32)


def _relaxation(
    box: GridBox, time: float, stream: Stream, width_m: float, *, sponge: bool
) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.float32]]:
    thick = _SPONGE_WIDTHS * width_m / box.cell_m if sponge else 0.0
    axes = [_sponge(count, part, thick) for count, part in zip(box.counts, stream.towards, strict=True)]
    axes[0] = axes[0] + np.float32(time)
    return axes[0], axes[1], axes[2]


def _sponge(count: int, towards: float, thick: float) -> NDArray[np.float32]:
    at = np.arange(count, dtype=float)
    if abs(towards) <= _LEAVES or thick == 0.0:
        return np.zeros(count, dtype=np.float32)
    left = count - 1 - at if towards > 0 else at
    return (_SPONGE * np.clip(1.0 - left / thick, 0.0, 1.0) ** 2).astype(np.float32)


def _leaving(box: GridBox, stream: Stream) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int32]]:
    rim, last = rim_cells(box.counts), np.array(box.counts) - 1
    out = np.zeros(len(rim), dtype=bool)
    for axis, part in enumerate(stream.towards):
        if abs(part) > _LEAVES:
            out |= rim[:, axis] == (last[axis] if part > 0 else 0)
    gone = rim[out]
    inside = flat(np.clip(gone, 1, last - 1), box.counts)
    return flat(gone, box.counts), inside, needs_of(gone, 1, last - 1)


def _blockage(shape: TunnelShape, stream: Stream, box: GridBox) -> float:
    """Half of what all triangles show to the wind, each way; parts that hide behind others count twice."""
    doubled = doubled_normals(shape.points_m, shape.triangles) @ np.array(stream.towards)
    return 0.25 * float(np.abs(doubled).sum()) / box.section_m2(stream)
