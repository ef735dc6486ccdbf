# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# NumPy's own stubs leave what comes out of sorting by rows open.
"""What a printer's motions lay down: filament, time, and the walls really printed."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy

_SLOWER, _SLOWEST = 1.1, 1.35
"""Clock over time at the told speeds [-]: speeding up and slowing down; common practice."""
_RAYS = 72
_MOST_LAYERS = 24
_MIDDLE = (0.15, 0.85)
"""Layers between these shares of the height are looked at: floors and roofs are solid [-]."""
_NEIGHBOURS = 1.3
"""Lines whose middles lie nearer than this many widths touch [-]: common practice overlaps them."""
_FLAT_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PrintMoves:
    """Moves of a print [mm, mm/s]; one row each."""

    starts_mm: NDArray[np.float64]
    ends_mm: NDArray[np.float64]
    fed_mm: NDArray[np.float64]
    speeds_mm_s: NDArray[np.float64]
    dwell_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What the motions of a print come to."""

    filament_m: float
    """Filament pushed, what was drawn back left out [m]."""
    plastic_m3: float
    time: Estimate
    """[s]."""
    layers: int
    layer_m: float
    """Height of most layers [m]."""
    line_m: float | None
    """Width of the outermost lines [m]; ``None`` where no wall was found."""
    lines: float | None
    """Lines side by side in the outer wall, the median over rays and layers [-]."""
    wall: Estimate | None
    """Wall really printed [m]: half the rays lie between its ends."""


def laid(moves: PrintMoves, filament_diameter_m: float = 1.75e-3) -> Laid:
    r"""Sum up what the motions of a print lay down.

    .. math::  L = \sum_i e_i, \qquad V = L \frac{\pi d^2}{4}, \qquad t \ge \sum_i \frac{l_i}{v_i}, \qquad
               w = \frac{\pi d^2}{4} \frac{\sum e}{h \sum l}

    Parameters
    ----------
    moves : PrintMoves
        Every move in its order [mm, mm/s].
    filament_diameter_m : float
        Diameter of the filament, :math:`d` [m].

    Returns
    -------
    laid : Laid
        Filament [m], plastic [m^3], time [s], layers and the outer wall [m].

    Raises
    ------
    OutsideRange
        If nothing is laid, or the diameter is not above zero.

    Notes
    -----
    Time at the told speeds is the least; 10 to 35 % more is common practice. The wall is counted along rays
    from the outside inward, in layers between 15 and 85 % of the height: lines nearer than 1.3 widths to the
    last one belong to it. Where infill touches the wall along a ray it is counted too; the median passes over
    it. A print of several bodies shows the outermost one along each ray.

    References
    ----------
    .. [1] Continuity of what is laid; flat lines as wide as their volume makes them.

    Examples
    --------
    >>> square = np.array([[0, 0, 0.2], [20, 0, 0.2], [20, 20, 0.2], [0, 20, 0.2], [0, 0, 0.2]], dtype=float)
    >>> fed, speeds = np.full(4, 0.6652), np.full(4, 20.0)
    >>> told = laid(PrintMoves(starts_mm=square[:-1], ends_mm=square[1:], fed_mm=fed, speeds_mm_s=speeds))
    >>> round(told.filament_m, 5), round(told.time.low, 1), round(1e9 * told.plastic_m3, 1)
    (0.00266, 4.0, 6.4)
    """
    require_positive(filament_diameter_m=filament_diameter_m)
    lengths = np.linalg.norm(moves.ends_mm - moves.starts_mm, axis=1)
    laying = (moves.fed_mm > 0.0) & (lengths > _FLAT_MM)
    if not laying.any():
        raise OutsideRange("no move lays plastic: filament is never pushed while the nozzle moves")
    section_mm2 = math.pi / 4 * (1e3 * filament_diameter_m) ** 2
    filament_mm = float(moves.fed_mm.sum())
    heights = np.round(moves.ends_mm[laying, 2], 3)
    levels = np.unique(heights)
    layer_mm = float(np.median(np.diff(levels))) if len(levels) > 1 else float(levels[0])
    beads = _Beads(
        starts=moves.starts_mm[laying, :2],
        ends=moves.ends_mm[laying, :2],
        levels=heights,
        widths=section_mm2 * moves.fed_mm[laying] / (lengths[laying] * max(layer_mm, 1e-3)),
    )
    line, lines, wall = _walls(beads, levels)
    return Laid(
        filament_m=1e-3 * filament_mm,
        plastic_m3=1e-9 * filament_mm * section_mm2,
        time=_time(moves, lengths),
        layers=len(levels),
        layer_m=1e-3 * layer_mm,
        line_m=line,
        lines=lines,
        wall=wall,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Beads:
    """Lines of plastic, seen from above [mm]."""

    starts: NDArray[np.float64]
    ends: NDArray[np.float64]
    levels: NDArray[np.float64]
    widths: NDArray[np.float64]


def _time(moves: PrintMoves, lengths: NDArray[np.float64]) -> Estimate:
    far = np.where(lengths > _FLAT_MM, lengths, np.abs(moves.fed_mm))
    told = moves.speeds_mm_s > 0.0
    seconds = float((far[told] / moves.speeds_mm_s[told]).sum()) + moves.dwell_s
    return Estimate(
        value=_SLOWER * seconds,
        low=seconds,
        high=_SLOWEST * seconds,
        known_by=KnownBy.COMPUTED,
        method="lengths over told speeds, and 10 to 35 % for speeding up",
        source="common practice",
    )


def _walls(beads: _Beads, levels: NDArray[np.float64]) -> tuple[float | None, float | None, Estimate | None]:
    low, high = (levels[0] + share * (levels[-1] - levels[0]) for share in _MIDDLE)
    middle = levels[(levels >= low) & (levels <= high)]
    middle = middle if len(middle) else levels
    chosen = middle[np.unique(np.linspace(0, len(middle) - 1, _MOST_LAYERS).round().astype(int))]
    found = [row for level in chosen.tolist() for row in _rays(beads, level)]
    if not found:
        return None, None, None
    counts = np.array([count for count, _, _ in found])
    walls = np.array([thick for _, thick, _ in found])
    low_m, value_m, high_m = (1e-3 * float(np.percentile(walls, share)) for share in (25.0, 50.0, 75.0))
    wall = Estimate(
        value=value_m,
        low=low_m,
        high=high_m,
        known_by=KnownBy.MEASURED,
        method="lines counted along rays through the layers",
    )
    line = 1e-3 * float(np.median([width for _, _, width in found]))
    return line, float(np.median(counts)), wall


def _rays(beads: _Beads, level: float) -> list[tuple[int, float, float]]:
    """Lines in the outer wall, its thickness and its first line's width, along rays of one layer [mm]."""
    here = beads.levels == level
    starts, ends, widths = beads.starts[here], beads.ends[here], beads.widths[here]
    middle = (starts.min(axis=0) + starts.max(axis=0)) / 2
    found: list[tuple[int, float, float]] = []
    for angle in (np.arange(_RAYS) + 0.37) * 2 * np.pi / _RAYS:
        along = np.array([np.cos(angle), np.sin(angle)])
        places, crossed, slants = _crossings(starts - middle, ends - middle, along)
        if not len(places):
            continue
        order = np.argsort(-places)
        found.append(_outer_wall(places[order], widths[crossed][order], slants[order]))
    return found


def _crossings(
    starts: NDArray[np.float64], ends: NDArray[np.float64], along: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.int64], NDArray[np.float64]]:
    """Where lines cross a ray from the middle, which, and how square to it: 1 for square, 0 for along."""
    aside = np.array([-along[1], along[0]])
    first, second = starts @ aside, ends @ aside
    crossed = np.flatnonzero((first > 0.0) != (second > 0.0))
    share = first[crossed] / (first[crossed] - second[crossed])
    points = starts[crossed] + share[:, None] * (ends[crossed] - starts[crossed])
    places = points @ along
    way = ends[crossed] - starts[crossed]
    slants = np.abs(way @ aside) / np.linalg.norm(way, axis=1)
    ahead = places > 0.0
    return places[ahead], crossed[ahead], slants[ahead]


def _outer_wall(
    places: NDArray[np.float64], widths: NDArray[np.float64], slants: NDArray[np.float64]
) -> tuple[int, float, float]:
    """Count lines from the outside in until one stands off: square to the wall, not along the ray."""
    count, square = 1, max(float(slants[0]), 0.2)
    thick = float(widths[0])
    for step in range(1, len(places)):
        gap = float(places[step - 1] - places[step]) * square
        if gap > _NEIGHBOURS * float(widths[step]) or abs(float(slants[step]) - square) > 0.2:
            break
        count, thick = count + 1, thick + min(gap, float(widths[step]))
    return count, thick, float(widths[0])
