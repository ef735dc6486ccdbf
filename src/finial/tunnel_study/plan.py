"""Which runs a study is made of, and what they cost before any of them starts."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from finial.assemble.air.tunnel_shape import (
    leaks,
    shape_hash,
    shape_repeats,
    shortest_chord_m,
    tunnel_shape,
)
from finial.assemble.day import day_at_pad
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.atmosphere.day import air_over_pad
from finial.core.content import content_hash
from finial.core.errors import OutsideRange
from finial.core.version import __version__
from finial.tunnel.boxes import nested_boxes
from finial.tunnel.lattice import BYTES_A_CELL
from finial.tunnel.plates import LEAST_CELLS
from finial.tunnel.reading import FINER
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel.run import METHOD

USUAL_ANGLES_RAD = tuple(np.radians([0.0, 5.0, 10.0, 15.0]).tolist())
MACH = 0.3
"""That the flight's Reynolds number is told for, as with the rows of the drag."""
_ALL_ROUND = 72
_LEAST_CELLS = 4.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlannedRun:
    """One run of a study."""

    key: str
    """Hash of everything it is asked, and of the version that answers."""
    shape: TunnelShape
    shape_hash: str
    bare: bool
    stream: Stream
    fineness: Fineness
    area_m2: float
    width_m: float
    variant: str = ""
    """Name of the variant of the sheet; empty: as it is written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyAsked:
    """What a study is asked."""

    angles_rad: Sequence[float] = USUAL_ANGLES_RAD
    rolls_rad: Sequence[float] | None = None
    """``None``: as many as the shape's symmetry needs."""
    fineness: Fineness = field(default_factory=Fineness)
    """Of the fine grid; each run is blown again with 1.5 times fewer cells."""
    bare: bool = False
    """The same without the sheet's fins as well."""
    two_grids: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyPlan:
    """Runs of a study, coarse grids first."""

    vehicle: str
    runs: tuple[PlannedRun, ...]
    repeats: int
    """How often the shape repeats in one turn."""
    flight_reynolds: float
    leaks: tuple[tuple[str, int], ...]
    """Parts whose meshes stay open, and how many of their edges."""
    fin_chord_widths: float | None = None
    """Least mean chord of the fins; ``None`` without any."""

    @property
    def fin_cells(self) -> tuple[float, ...]:
        """Cells along the shortest fin's mean chord on each grid, coarse first; none without fins."""
        grids = sorted({run.fineness.cells for run in self.runs if not run.bare})
        return () if self.fin_chord_widths is None else tuple(self.fin_chord_widths * each for each in grids)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What runs take."""

    cells: int
    """Of all grids of the largest run."""
    updates: float
    """Of all runs together."""
    memory_bytes: float
    """Of the largest run."""


def planned(vehicle: LoadedVehicle, asked: StudyAsked, variant: str = "") -> StudyPlan:
    """Lay out the runs of a study, of the sheet as written or of a variant of it by its name.

    Raises
    ------
    OutsideRange
        If an angle or a roll is not one, or the coarse grid would be too coarse.
    """
    _refuse(asked)
    runs = _of_shape(vehicle, asked, bare=False)
    if asked.bare and vehicle.sheet.fin:
        runs += _of_shape(vehicle, asked, bare=True)
    runs = [replace(run, variant=variant) for run in runs]
    chord, width = shortest_chord_m(vehicle), vehicle.skin.width_m
    return StudyPlan(
        vehicle=vehicle.sheet.vehicle.name,
        runs=tuple(sorted(runs, key=lambda run: (run.fineness.cells, run.bare))),
        repeats=shape_repeats(vehicle),
        flight_reynolds=flight_reynolds(vehicle),
        leaks=leaks(vehicle),
        fin_chord_widths=None if chord is None or width <= 0.0 else chord / width,
    )


def together(plans: Sequence[StudyPlan]) -> StudyPlan:
    """Make one study of the plans of a sheet and its variants: what two of them share is blown once."""
    runs = {run.key: run for plan in reversed(plans) for run in plan.runs}
    chords = [plan.fin_chord_widths for plan in plans if plan.fin_chord_widths is not None]
    return replace(
        plans[0],
        runs=tuple(sorted(runs.values(), key=lambda run: (run.fineness.cells, run.bare, run.variant))),
        leaks=tuple(dict.fromkeys(leak for plan in plans for leak in plan.leaks)),
        fin_chord_widths=min(chords, default=None),
    )


def flight_reynolds(vehicle: LoadedVehicle) -> float:
    """Reynolds number on the width at Mach 0.3 over the pad [-]."""
    air = air_over_pad(day_at_pad(vehicle), 0.0)
    speed = MACH * air.sound_speed_m_s
    return float(speed * air.density_kg_m3 / air.viscosity_pa_s) * vehicle.skin.width_m


def rolls_for(repeats: int) -> tuple[float, ...]:
    """Fewest rolls that stand for all: one for shapes alike all round, else faces and corners of one repeat.

    Examples
    --------
    >>> [round(math.degrees(roll)) for roll in rolls_for(4)], len(rolls_for(144)), len(rolls_for(1))
    ([0, 45], 1, 4)
    """
    if repeats >= _ALL_ROUND:
        return (0.0,)
    count = 2 if repeats > 2 else 4 // repeats
    return tuple(2.0 * math.pi / repeats * number / count for number in range(count))


def _of_shape(vehicle: LoadedVehicle, asked: StudyAsked, *, bare: bool) -> list[PlannedRun]:
    width = vehicle.skin.width_m
    rolls = rolls_for(shape_repeats(vehicle, bare=bare)) if asked.rolls_rad is None else asked.rolls_rad
    # Without an angle all rolls are the same wind.
    winds = [(angle, roll) for angle in asked.angles_rad for roll in (rolls if angle else (0.0,))]
    reynolds = round(flight_reynolds(vehicle), -3)
    cells = (asked.fineness.cells, *((asked.fineness.cells / FINER,) if asked.two_grids else ()))
    return (
        [
            _run(vehicle, shape, bare, Stream(angle_rad=angle, roll_rad=roll, reynolds=reynolds), fineness)
            for fineness in (replace(asked.fineness, cells=count) for count in cells)
            for shape in [tunnel_shape(vehicle, bare=bare, least_m=LEAST_CELLS * width / fineness.cells)]
            for angle, roll in dict.fromkeys(winds)
        ]
        if width > 0.0
        else []
    )


def _run(
    vehicle: LoadedVehicle, shape: TunnelShape, bare: bool, stream: Stream, fineness: Fineness
) -> PlannedRun:
    hashed = shape_hash(vehicle, bare=bare)
    asked = [round(value, 9) for value in (stream.angle_rad, stream.roll_rad, stream.reynolds)]
    return PlannedRun(
        key=content_hash(hashed, *asked, fineness, METHOD, __version__),
        shape=shape,
        shape_hash=hashed,
        bare=bare,
        stream=stream,
        fineness=fineness,
        area_m2=vehicle.skin.reference_area_m2,
        width_m=vehicle.skin.width_m,
    )


def _refuse(asked: StudyAsked) -> None:
    if not asked.angles_rad or not all(0.0 <= angle <= math.pi for angle in asked.angles_rad):
        raise OutsideRange("angles of attack of 0 to 180 deg are accepted, at least one")
    if asked.rolls_rad is not None and not all(0.0 <= roll < 2.0 * math.pi for roll in asked.rolls_rad):
        raise OutsideRange("roll angles from 0 to below 360 deg are accepted")
    if asked.two_grids and asked.fineness.cells / FINER < _LEAST_CELLS:
        raise OutsideRange(
            f"{asked.fineness.cells:g} cells to a width: at least {FINER * _LEAST_CELLS:g}, as the second "
            f"grid has {FINER:g} times fewer"
        )


def section_share(run: PlannedRun) -> float:
    """Set the reference area over what the tunnel shows to its wind [-]."""
    box = nested_boxes(run.shape, run.stream, run.fineness, run.width_m).boxes[0]
    return run.area_m2 / box.section_m2(run.stream)


def cost_of(runs: Iterable[PlannedRun]) -> Cost:
    """Count the cells, the updates and the memory of runs, before any of them starts."""
    cells, updates = [0], 0.0
    for run in runs:
        nested = nested_boxes(run.shape, run.stream, run.fineness, run.width_m)
        travel = run.fineness.settle_widths + run.fineness.travel_widths
        steps = travel * run.fineness.steps_a_width
        cells.append(nested.cells)
        updates += steps * nested.updates_a_step
    return Cost(cells=max(cells), updates=updates, memory_bytes=float(max(cells) * BYTES_A_CELL))
