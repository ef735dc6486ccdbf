"""One run of the tunnel, from a shape and a wind to loads."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.tunnel.averages import batch_means
from finial.tunnel.flow import AirSeen
from finial.tunnel.machine import Machine
from finial.tunnel.neighbours import summed_by
from finial.tunnel.planes import Watch
from finial.tunnel.processor import Processor
from finial.tunnel.records import Blown, Fineness, Stream, TunnelShape
from finial.tunnel.setup import Setup, set_up
from finial.tunnel.surface import pressures_at

METHOD = 3
"""Eight cells of room round the shape at least: runs of another number are other runs."""
_SLOWER = 0.7
"""Speed of a restart over the one before."""
_RESTARTS = 2
_LOOK_WIDTHS = 2.0
"""Travel between looks for a run that diverged."""
_WILD = 50.0
"""Load coefficient beyond which a run is lost, once the push of the sudden start is over."""
_SLICES = 40


class _Diverged(Exception):
    """The air of a run went wild."""


def blow(  # noqa: PLR0913
    shape: TunnelShape,
    stream: Stream,
    fineness: Fineness,
    *,
    area_m2: float,
    width_m: float,
    card: int | None = None,
    watch: Callable[[float], None] | None = None,
) -> Blown:
    r"""Blow at a shape and average its loads.

    .. math::  C = \frac{1}{T} \int_{t_0}^{t_0 + T} \frac{F(t)}{\tfrac12 \rho U^2 A} \, dt

    with :math:`F` the force, or the moment over the width, that the walls take from the air, and :math:`t_0`
    the travel that is thrown away.

    Parameters
    ----------
    shape : TunnelShape
    stream : Stream
    fineness : Fineness
    area_m2, width_m : float
        Reference area [m^2] and width [m]; cells and travel are counted in widths.
    card : int, optional
        Graphics card to run on, counted from 0; the processor's cores without it.
    watch : callable, optional
        Gets the share that is done [-], 0 to 1, now and then; what it raises ends the run.

    Returns
    -------
    blown : Blown

    Raises
    ------
    OutsideRange
        If the run diverges at every speed that it is tried at.

    Notes
    -----
    For slow air; the Reynolds number is the lattice's own, some thousand, and told. How far loads can be
    trusted stands on the page of the tunnel's accuracy. Asked for a card where none is, ``MissingData`` comes
    out.

    References
    ----------
    .. [1] Malaspinas, arXiv:1505.06900, 2015: the collision. From memory.
    .. [2] Bouzidi, Firdaouss, Lallemand, Phys. Fluids 13, 2001: the walls. From memory.
    .. [3] Ladd, J. Fluid Mech. 271, 1994: the loads. From memory.
    .. [4] Krueger, Kusumaatmaja, Kuzmin, Shardt, Silva and Viggen, The Lattice Boltzmann Method, 2017: all of
       it. From memory.

    Examples
    --------
    >>> ends = np.array([[0.0, -0.5, -0.5], [0.0, 0.5, -0.5], [0.0, 0.5, 0.5], [0.0, -0.5, 0.5]])
    >>> plate = TunnelShape(points_m=ends, triangles=np.array([[0, 2, 1], [0, 3, 2]]))
    >>> short = Fineness(cells=4.0, grids=1, side_widths=1.5, settle_widths=1.0, travel_widths=1.0)
    >>> blown = blow(plate, Stream(angle_rad=0.0), short, area_m2=1.0, width_m=1.0)
    >>> bool(blown.pressure[0] > 0.5), blown.restarts
    (True, 0)
    """
    asked = fineness
    for restarts in range(_RESTARTS + 1):
        setup = set_up(shape, stream, asked, area_m2=area_m2, width_m=width_m)
        try:
            planes = Watch(setup, shape, stream, width_m=width_m, steps=asked.steps_a_width)
            history, means = _averaged(_machine(setup, card), planes, asked, watch)
        except _Diverged:
            asked = replace(asked, speed=asked.speed * _SLOWER)
            continue
        told = _Told(history=history, means=means, restarts=restarts, flow=planes.flow())
        return _blown(shape, setup, asked, told, width_m)
    raise OutsideRange(
        f"the run diverged {_RESTARTS + 1} times, the last at a speed of {asked.speed / _SLOWER:.3g} cells"
        " a step: more cells to a width may help"
    )


def _machine(setup: Setup, card: int | None) -> Machine:
    if card is None:
        return Processor(setup)
    from finial.tunnel.gpu.card import Card

    return Card(setup, card)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Told:
    """What a machine said of a run."""

    history: NDArray[np.float64]
    """Loads at each step of the widest grid that counts, shape (samples, 12)."""
    means: NDArray[np.float64]
    """What each link turned back in the mean, shape (l,)."""
    restarts: int
    flow: AirSeen | None


def _averaged(
    machine: Machine, planes: Watch, fineness: Fineness, watch: Callable[[float], None] | None
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    a_width = fineness.steps_a_width
    settle = math.ceil(fineness.settle_widths * a_width)
    last = settle + max(math.ceil(fineness.travel_widths * a_width), 8)
    look = max(round(_LOOK_WIDTHS * a_width), 1)
    looks = range(settle + planes.every, last + 1, planes.every)
    stops = {settle, last, *range(look, last, look), *looks}
    for done, till in pairwise(sorted(stops | {0})):
        machine.onward(till - done)
        if till % look == 0:
            _refuse_wild(machine.recorded()[-look:], _WILD if till > look else np.inf)
            if watch is not None:
                watch(till / last)
        if till == settle:
            machine.forget()
        elif till in looks:
            planes.look(machine)
    history = machine.recorded()
    _refuse_wild(history, _WILD)
    return history, machine.link_means()


def _refuse_wild(history: NDArray[np.float64], most: float) -> None:
    forces = history[:, 6:9]
    if not np.isfinite(forces).all() or np.abs(forces).max() > most:
        raise _Diverged


def _blown(shape: TunnelShape, setup: Setup, fineness: Fineness, told: _Told, width_m: float) -> Blown:
    mean, error = batch_means(told.history)
    walls, finest = setup.walls, setup.nested.boxes[-1]
    pressed = told.means[:, None] * walls.weights[:, :3]
    ends = shape.points_m[:, 0]
    edges = np.linspace(float(ends.min()), float(ends.max()), _SLICES + 1)
    slot = np.clip(np.searchsorted(edges, walls.places_m[:, 0], side="right") - 1, 0, _SLICES - 1)
    a_width, samples = fineness.steps_a_width, len(told.history)
    first = math.ceil(fineness.settle_widths * a_width)
    return Blown(
        pressure=mean[:6],
        total=mean[6:],
        pressure_error=error[:6],
        total_error=error[6:],
        blockage=setup.blockage,
        reynolds=setup.reynolds,
        cells=width_m / finest.cell_m,
        wet_cells=setup.nested.cells,
        updates=float(setup.nested.updates_a_step) * (first + samples),
        restarts=told.restarts,
        history=told.history[:, :6],
        history_widths=(first + 1 + np.arange(samples)) / a_width,
        stations_m=edges,
        along=summed_by(pressed, slot, _SLICES),
        places_m=walls.skin_places_m,
        pressures=pressures_at(walls, told.means),
        flow=told.flow,
    )
