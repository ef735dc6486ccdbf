"""From kept runs of the tunnel to the table that the seam takes, with the sections beside it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from finial.aero.drag.sources import DragKind
from finial.aero.given import GivenAir, read_along
from finial.assemble.air.results import StudyState, TunnelBeside, TunnelRow
from finial.assemble.air.sections import AirLoads, BodyLoad, TunnelSwing
from finial.core.estimates import Estimate, total
from finial.files.tunnel_runs import TunnelRun
from finial.tunnel.correction import unblocked_share
from finial.tunnel.reading import FINER, LEAST_PLACE_WIDTHS, LEAST_SHARE, Mean, of_two_grids

UNSEEN = (
    DragKind.SKIN_FRICTION,
    DragKind.FIN_FRICTION,
    DragKind.RING_FRICTION,
    DragKind.DUCT_FRICTION,
    DragKind.SMALL_PART,
)
"""Rows of the drag that the lattice cannot tell, or that no mesh has."""
_ALL_ROUND = 72
"""A shape that repeats so often needs one roll."""
_LEAST_ROLLS = 2
LEAST_CELLS = 10.0
"""Fewer cells to a width are shown but not flown with: a cube is off by a tenth there; a judgement."""
_SAME_RAD = 1e-6
_NOTHING = 1e-9
_TURN = 2.0 * np.pi
_STRETCHES = 10
_GRID_SLACK = 0.05
"""Cells of the coarse grid may be so far off what belongs to the fine one, as a share."""
_COMPRESSED = (0.5, 2.0)
"""Bounds on what the sections' Mach number makes of a load."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One angle and roll on two grids."""

    fine: TunnelRun
    coarse: TunnelRun


def pairs_of(runs: Iterable[TunnelRun]) -> tuple[tuple[Pair, ...], int]:
    """Join runs of one shape: each angle and roll on its finest grid with the grid that belongs to it.

    Returns
    -------
    pairs : tuple of Pair
    alone : int
        Angles and rolls without a second grid.
    """
    ordered = sorted(runs, key=lambda run: (*_at(run), -run.cells, run.key))
    found: list[Pair] = []
    alone = 0
    for _, same in groupby(ordered, key=_at):
        pair = _finest_pair(tuple(same))
        if pair is None:
            alone += 1
        else:
            found.append(pair)
    return tuple(found), alone


def _finest_pair(same: Sequence[TunnelRun]) -> Pair | None:
    for fine in same:
        belonging = [
            run
            for run in same
            if abs(run.cells * FINER / fine.cells - 1.0) <= _GRID_SLACK
            and (run.eddies, run.conserving) == (fine.eddies, fine.conserving)
        ]
        if belonging:
            return Pair(fine=fine, coarse=belonging[0])
    return None


def _at(run: TunnelRun) -> tuple[float, float]:
    return round(run.angle_rad, 6), round(run.roll_rad, 6) if run.angle_rad > _SAME_RAD else 0.0


def tunnel_beside(
    runs: Iterable[TunnelRun], own: AirLoads, shape: str, flight_reynolds: float
) -> TunnelBeside:
    """Read the runs of a shape and set the sections beside them.

    Parameters
    ----------
    runs : iterable of TunnelRun
        Of any shapes.
    own : AirLoads
        From the sections.
    shape : str
        Hash of the vehicle's own shape.
    flight_reynolds : float
        On the width [-].

    Returns
    -------
    beside : TunnelBeside
        With rows by angle and roll; it holds as far as there are any of this shape.
    """
    mine = [run for run in runs if run.shape == shape]
    if not mine:
        return TunnelBeside(state=StudyState.OTHER_SHAPE, flight_reynolds=flight_reynolds)
    pairs, alone = pairs_of(mine)
    friction = unseen_drag(own)
    rows = tuple(_row(pair, own, friction) for pair in pairs)
    unclear = sum(row.place is None and row.angle_rad > _SAME_RAD for row in rows)
    return TunnelBeside(
        state=StudyState.HOLDS,
        rows=rows,
        finned=has_fins(own),
        left_out=alone + unclear,
        friction=friction,
        flight_reynolds=flight_reynolds,
    )


def has_fins(own: AirLoads) -> bool:
    """Say whether anything of the shape is a thin lifting plate, in the sheet or in a mesh."""
    return bool(own.fins)


def unseen_drag(own: AirLoads) -> Estimate:
    """Friction and small parts, as the sections have them, on the vehicle's area [-]."""
    rows = [row.coefficient for row in own.drag.sources(burning=False) if row.kind in UNSEEN]
    return total(rows, method="flat-plate friction on the wetted area, and small parts")


def corrected(run: TunnelRun) -> float:
    """Factor for the tunnel's walls on all loads of a run [-]."""
    towards = np.array([np.cos(run.angle_rad), np.sin(run.angle_rad)])
    drag = float(towards @ [run.pressure[0], run.force])
    return unblocked_share(max(drag, 0.0), run.section_share)


def _row(pair: Pair, own: AirLoads, friction: Estimate) -> TunnelRow:
    fine, coarse = pair.fine, pair.coarse
    scale = fine.area_m2 / own.result.table.reference_area_m2
    force, aside, pressed = (_together(pair, name, scale) for name in ("force", "aside", "axial"))
    place = None
    clear = not force.low <= 0.0 <= force.high
    if fine.angle_rad > _SAME_RAD and clear and fine.place_m is not None and coarse.place_m is not None:
        place = of_two_grids(
            Mean(value=fine.place_m, error=fine.place_error_m or 0.0),
            Mean(value=coarse.place_m, error=coarse.place_error_m or 0.0),
            at_least=LEAST_PLACE_WIDTHS * fine.width_m,
        )
    row = TunnelRow(
        angle_rad=fine.angle_rad,
        roll_rad=fine.roll_rad,
        force=force,
        place=place,
        axial=total([pressed, friction], method="pressure on the lattice, and flat-plate friction"),
        aside=aside,
        pressure_axial=fine.pressure[0] * scale,
        force_read=fine.force * scale,
        section_share=fine.section_share,
        reynolds=fine.reynolds,
        cells=fine.cells,
        coarse_cells=coarse.cells,
        restarts=fine.restarts + coarse.restarts,
        sections_force=_sections(own, "along", fine) * float(np.sin(fine.angle_rad)),
        sections_axial=_sections(own, "axial_power_off", fine),
        sections_place_m=_sections_place(own, fine),
    )
    return replace(row, parts_most_m=None if place is None else _parts_most(fine, own, scale))


def _together(pair: Pair, name: str, scale: float) -> Estimate:
    means: list[Mean] = []
    for run in (pair.fine, pair.coarse):
        value, error = {
            "force": (run.force, run.force_error),
            "aside": (run.aside, run.aside_error),
            "axial": (run.pressure[0], _axial_error(run)),
        }[name]
        factor = corrected(run) * scale
        means.append(Mean(value=value * factor, error=error * factor))
    return of_two_grids(*means, at_least=LEAST_SHARE * abs(means[0].value))


def _axial_error(run: TunnelRun) -> float:
    return run.pressure_error[0] if run.axial_error is None else run.axial_error


def _sections(own: AirLoads, name: str, run: TunnelRun) -> float:
    """Read a coefficient of the flight table at a run's angle and roll, at the slowest Mach number."""
    table = own.result.table
    values = np.broadcast_to(getattr(table, name), table.along.shape)[..., :1]
    at_angle = read_along(values, 0, table.alpha_rad, np.array([run.angle_rad]))
    return float(read_along(at_angle, 1, table.roll_rad, np.array([run.roll_rad])).item())


def _sections_place(own: AirLoads, run: TunnelRun) -> tuple[float, float, float] | None:
    band = own.band
    if not _SAME_RAD < run.angle_rad <= band.angles_rad[-1] + _SAME_RAD:
        return None
    roll = int(np.abs(np.exp(1j * band.rolls_rad) - np.exp(1j * run.roll_rad)).argmin())
    fore, middle, aft = (
        float(np.interp(run.angle_rad, band.angles_rad, each[:, roll]))
        for each in (band.forward_m, band.central_m, band.aft_m)
    )
    return fore, middle, aft


def _parts_most(run: TunnelRun, own: AirLoads, scale: float) -> tuple[float, float] | None:
    """Stretch whose forces differ with the longest lever about the sections' centre."""
    place = _sections_place(own, run)
    if place is None or len(run.stations_m) < 2:
        return None
    ends = np.linspace(run.stations_m[0], run.stations_m[-1], _STRETCHES + 1)
    tunnel = (
        _gathered(np.array(run.stations_m), np.array(run.along), run.roll_rad, ends) * scale * corrected(run)
    )
    apart = np.diff(tunnel - sections_gathered(own, ends, run.angle_rad, run.roll_rad))
    lever = (ends[1:] + ends[:-1]) / 2.0 - place[1]
    worst = int(np.abs(apart * lever).argmax())
    return float(ends[worst]), float(ends[worst + 1])


def _gathered(
    edges_m: NDArray[np.float64], along: NDArray[np.float64], roll_rad: float, ends_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Force along the wind of all slices ahead of each station [-]."""
    each = along[:, 1] * np.cos(roll_rad) + along[:, 2] * np.sin(roll_rad)
    return np.interp(ends_m, edges_m, np.concatenate([[0.0], np.cumsum(each)]))


def sections_gathered(
    own: AirLoads, ends_m: NDArray[np.float64], angle_rad: float, roll_rad: float
) -> NDArray[np.float64]:
    """Gather the sections' force along the wind ahead of each station, fins even along their roots [-]."""
    stations, per_m = own.result.load_stations_m, own.result.load_per_m
    body = np.concatenate([[0.0], np.cumsum(np.diff(stations) * (per_m[1:] + per_m[:-1]) / 2)])
    gathered = np.interp(ends_m, stations, body)
    towards = np.array([np.cos(roll_rad), np.sin(roll_rad)])
    for fin in own.fins:
        fore = fin.fins.station_m
        share = np.clip((ends_m - fore) / fin.planform.root_chord_m, 0.0, 1.0)
        gathered = gathered + float(towards @ fin.slope_per_rad @ towards) * share
    return gathered * float(np.sin(angle_rad))


def body_load_of(runs: Iterable[TunnelRun], shape: str, length_m: float) -> BodyLoad | None:
    """Load along the body of each angle, from the finest grid, at the roll where all of it is largest.

    Parameters
    ----------
    runs : iterable of TunnelRun
        Of any shapes.
    shape : str
        Hash of the vehicle's own.
    length_m : float
        Of the body [m]: what fins carry behind its base acts at its last slice.

    Returns
    -------
    load : BodyLoad or None
        ``None`` without any angle.
    """
    pairs, _ = pairs_of(run for run in runs if run.shape == shape)
    largest: dict[float, TunnelRun] = {}
    for pair in pairs:
        run = pair.fine
        before = largest.get(run.angle_rad)
        if run.angle_rad > _SAME_RAD and (before is None or abs(run.force) > abs(before.force)):
            largest[run.angle_rad] = run
    if not largest:
        return None
    edges = np.array(next(iter(largest.values())).stations_m)
    alike = sorted(angle for angle, run in largest.items() if np.array_equal(run.stations_m, edges))
    slices = [_on_body(edges, _sideways(largest[angle]) / np.sin(angle), length_m) for angle in alike]
    return BodyLoad(
        edges_m=slices[0][0], angles_rad=np.array(alike), per_sine=np.array([each for _, each in slices])
    )


def swing_of(runs: Iterable[TunnelRun], shape: str) -> TunnelSwing | None:
    """Strongest clear swing across the wind on a fine grid.

    Parameters
    ----------
    runs : iterable of TunnelRun
        Of any shapes.
    shape : str
        Hash of the vehicle's own.

    Returns
    -------
    swing : TunnelSwing or None
        Its Strouhal number [-] give or take one period over the averaged travel; ``None`` without any.
    """
    pairs, _ = pairs_of(run for run in runs if run.shape == shape)
    clear = [pair.fine for pair in pairs if pair.fine.strouhal is not None]
    if not clear:
        return None
    run = max(clear, key=lambda one: one.swing)
    usual = run.strouhal or 0.0
    apart = 1.0 / run.travel_widths
    return TunnelSwing(
        strouhal=(max(usual - apart, usual / 2.0), usual, usual + apart), force=run.swing * corrected(run)
    )


def _sideways(run: TunnelRun) -> NDArray[np.float64]:
    """Force of each slice along the cross wind, without what the walls add [-]."""
    along = np.array(run.along)
    return (along[:, 1] * np.cos(run.roll_rad) + along[:, 2] * np.sin(run.roll_rad)) * corrected(run)


def _on_body(
    edges_m: NDArray[np.float64], forces: NDArray[np.float64], length_m: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Slices up to the base, the last with all that stands behind it."""
    kept = int(np.searchsorted(edges_m, length_m * (1.0 - 1e-6)))
    ends = np.append(edges_m[:kept], length_m)
    return ends, np.append(forces[: kept - 1], forces[kept - 1 :].sum())


def table_of(beside: TunnelBeside, own: AirLoads, repeats: int) -> GivenAir | None:
    """Table of a study for the seam; ``None`` where its runs make none.

    Parameters
    ----------
    beside : TunnelBeside
        What was read.
    own : AirLoads
        From the sections: what a Mach number makes of a load is theirs.
    repeats : int
        How often the shape repeats in one turn.

    Returns
    -------
    given : GivenAir or None
        Of all angles that every roll is known at.
    """
    read = [row for row in beside.rows if row.cells >= LEAST_CELLS]
    fine = [widened(row) for row in read] if beside.finned else read
    clear = {(row.angle_rad, row.roll_rad): row for row in fine if row.place is not None}
    rolls = sorted({roll for _, roll in clear})
    if len(rolls) < (1 if repeats >= _ALL_ROUND else _LEAST_ROLLS):
        return None
    angles = sorted({angle for angle, _ in clear if all((angle, roll) in clear for roll in rolls)})
    if not angles:
        return None
    ahead = next((row for row in fine if row.angle_rad <= _SAME_RAD), None)
    grid = [[clear[angle, roll] for roll in rolls] for angle in angles]
    return _on_grid(grid, ahead, own, repeats)


def widened(row: TunnelRow) -> TunnelRow:
    """Widen what the sections say by what the tunnel says, for a shape with fins.

    Parameters
    ----------
    row : TunnelRow
        As it was read.

    Returns
    -------
    row : TunnelRow
        The sections' force, drag [-] and place [m], from the lowest end of both to the highest.

    Notes
    -----
    On the one measured body with fins the lattice's centre lay 0.6 widths aft of the measured one at 4
    degrees, 0.1 ahead at 8, more than its interval says. So a study never moves a centre that fins hold, and
    never narrows its band.
    """
    row = replace(row, axial=_over(row.axial, *[row.sections_axial] * 3))
    if row.place is None or row.sections_place_m is None:
        return replace(row, place=None)
    fore, middle, aft = row.sections_place_m
    return replace(
        row,
        force=_over(row.force, *[row.sections_force] * 3),
        place=_over(row.place, fore, middle, aft),
    )


def _over(read: Estimate, low: float, value: float, high: float) -> Estimate:
    return replace(read, low=min(read.low, low), value=value, high=max(read.high, high))


def _on_grid(
    grid: Sequence[Sequence[TunnelRow]], ahead: TunnelRow | None, own: AirLoads, repeats: int
) -> GivenAir:
    table = own.result.table
    rolls = _round_the_turn([row.roll_rad for row in grid[0]], repeats)
    copies = len(rolls) // len(grid[0])
    force, place, axial = (
        _three([[getattr(row, name) for row in rows] for rows in grid])
        for name in ("force", "place", "axial")
    )
    angles = np.array([rows[0].angle_rad for rows in grid])
    if ahead is not None:
        angles = np.concatenate([[0.0], angles])
        straight = _three([[ahead.axial] * len(grid[0])])
        force = np.concatenate([np.zeros_like(force[:, :1]), force], axis=1)
        place = np.concatenate([place[:, :1], place], axis=1)
        axial = np.concatenate([straight, axial], axis=1)
    force, place, axial = (np.concatenate([each] * copies, axis=2) for each in (force, place, axial))
    at = angles, rolls
    return GivenAir(
        reference_area_m2=table.reference_area_m2,
        angles_rad=angles,
        rolls_rad=rolls,
        machs=table.mach,
        force=force[..., None] * _compressed(own, "along", *at),
        place_m=np.repeat(place[..., None], len(table.mach), axis=3),
        axial=None if ahead is None else axial[..., None] * _compressed(own, "axial_power_off", *at),
    )


def _three(rows: Sequence[Sequence[Estimate]]) -> NDArray[np.float64]:
    """Low, central, high over angle and roll, shape (3, a, r)."""
    return np.array(
        [[[getattr(one, end) for one in row] for row in rows] for end in ("low", "value", "high")]
    )


def _round_the_turn(rolls_rad: Sequence[float], repeats: int) -> NDArray[np.float64]:
    """Lay rolls of one repeat round the turn; one roll of a shape alike all round stays one."""
    if repeats >= _ALL_ROUND and len(rolls_rad) == 1:
        return np.zeros(1)
    step = _TURN / repeats
    first = np.array(rolls_rad)
    if first.max() >= step - _SAME_RAD:
        return first
    return np.concatenate([first + step * number for number in range(repeats)])


def _compressed(
    own: AirLoads, name: str, angles_rad: NDArray[np.float64], rolls_rad: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Say what each Mach number makes of a load, by the sections, shape (a, r, m)."""
    table = own.result.table
    values = np.broadcast_to(getattr(table, name), table.along.shape)
    at = read_along(read_along(values, 0, table.alpha_rad, angles_rad), 1, table.roll_rad, rolls_rad)
    slowest = at[..., :1]
    known = np.abs(slowest) > _NOTHING
    return np.clip(np.where(known, at / np.where(known, slowest, 1.0), 1.0), *_COMPRESSED)
