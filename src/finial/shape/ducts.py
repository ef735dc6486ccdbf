"""Openings that the air flows through: rings round the body, and ducts open at both ends."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.cut import Cut
from finial.shape.planar import less, overlap, united
from finial.shape.skin import Loop, Ring

LONGEST_RING = 0.35
"""A duct longer than this share of the length is no ring: a hull with an open tip is one."""
_LEAST_OPEN = 0.02
"""Openings smaller than this share of the largest section are bores and counted as full."""
_SAME_HOLE = 0.5
_THINNEST_BODY = 0.12
"""What is thinner than this share of the ring's width is wall or strut, not a body inside it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """What one station shows, with its cavities."""

    station_m: float
    filled: Any
    """Everything enclosed, as a shapely geometry."""
    solid: Any
    """The same without its cavities."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """Rings taken off the skin, what is left at their stations, and what was found in words."""

    rings: tuple[Ring, ...]
    bodies: dict[float, Any]
    """Outline left at each station of a ring, as a shapely geometry."""
    notes: tuple[str, ...]


def _polygon(ring: Any = None) -> Any:
    import shapely

    return shapely.Polygon(ring)


def _parts(shape: Any) -> list[Any]:
    import shapely

    return list(shapely.get_parts(shape))


def _corners(line: Any) -> NDArray[np.float64]:
    import shapely

    return shapely.get_coordinates(line)


def solid_of(cuts: Sequence[Cut]) -> Any:
    """Unite the cuts of several meshes and keep the cavities: a loop inside material is a hole in it.

    Parameters
    ----------
    cuts : sequence of Cut
        What each mesh shows at one station; loose segments are left out.

    Returns
    -------
    solid : shapely geometry
        With interiors where there are cavities [m].

    Notes
    -----
    Loops that cross are united. A solid drawn inside another looks like a cavity: only where both its
    ends are open does that matter.

    References
    ----------
    .. [1] The even-odd rule for nested loops.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> tube = Cut(loops=(square, 0.5 + 0.5 * (square - 0.5)), loose_m=np.empty((0, 2, 2)))
    >>> round(solid_of([tube]).area, 6)
    0.75
    """
    whole = _polygon()
    for cut in cuts:
        loops = [_polygon(loop) for loop in cut.loops if len(loop) >= 3]
        part = _polygon()
        for loop in sorted(
            (one if one.is_valid else one.buffer(0) for one in loops), key=lambda one: -one.area
        ):
            inside = part.buffer(-1e-9).contains(loop) or part.contains_properly(loop)
            part = less(part, loop) if inside else united([part, loop])
        whole = united([whole, part])
    return whole


def opened(stages: Sequence[Stage]) -> Opened:
    """Find openings with both ends open; take thin rings off, name the others.

    Parameters
    ----------
    stages : sequence of Stage
        Stations from tip to base [m].

    Returns
    -------
    opened : Opened
        Nothing for a body without such an opening.

    Notes
    -----
    A cavity runs on from station to station as far as it overlaps itself by half. Its end is open where
    the station beyond shows less than half of it covered, or where the body ends. A ring is shorter
    than 0.35 of the length; what stands inside it and is thicker than 0.12 of its width stays body.
    An opening that leaves no body behind, or a longer one, is a duct: the outline stays full, and what
    flows inside comes with the rings, by its narrowest place.

    References
    ----------
    .. [1] No published method; the limits are ours.

    Examples
    --------
    >>> import shapely
    >>> disc = shapely.Point(0.0, 0.0).buffer(1.0)
    >>> full = [Stage(station_m=x, filled=disc, solid=disc) for x in (0.0, 1.0, 2.0)]
    >>> opened(full).rings
    ()
    """
    if len(stages) < 2:
        return Opened(rings=(), bodies={}, notes=())
    largest = max(stage.filled.area for stage in stages)
    rings: list[Ring] = []
    bodies: dict[float, Any] = {}
    notes: list[str] = []
    for run in _runs(stages, _LEAST_OPEN * largest):
        if not (_is_open(stages, run, -1) and _is_open(stages, run, 1)):
            continue
        found = _ring(stages, run)
        if found is None:
            rings.append(_duct(stages, run))
            notes.append(_full_note(stages, run))
            continue
        ring, left = found
        rings.append(ring)
        bodies.update(left)
        notes.append(_ring_note(ring))
    return Opened(rings=tuple(rings), bodies=bodies, notes=tuple(notes))


def _polygons(shape: Any) -> list[Any]:
    return [part for part in _parts(shape) if part.geom_type == "Polygon"]


Run = dict[int, list[Any]]
"""Holes of one opening by the number of the station."""


def _holes(stage: Stage, least_m2: float) -> list[Any]:
    found: list[Any] = []
    for part in _polygons(stage.solid):
        for ring in part.interiors:
            hole = _polygon(ring)
            if less(hole, stage.solid).area > least_m2 / 8:
                found.append(hole)
    return found


def _runs(stages: Sequence[Stage], least_m2: float) -> list[Run]:
    """Holes that hang together from station to station, and are large enough somewhere."""
    runs: list[Run] = []
    for number, stage in enumerate(stages):
        for hole in _holes(stage, least_m2):
            joined = [run for run in runs if any(_overlap(hole, one) for one in run.get(number - 1, ()))]
            joined += [
                run for run in runs if number in run and run not in joined and _neighbours(hole, run, number)
            ]
            merged: Run = {}
            for run in joined:
                for key, holes in run.items():
                    merged.setdefault(key, []).extend(holes)
            merged.setdefault(number, []).append(hole)
            runs = [run for run in runs if not any(run is one for one in joined)] + [merged]
    return [run for run in runs if max(_fluid(stages[i], holes) for i, holes in run.items()) > least_m2]


def _neighbours(hole: Any, run: Run, number: int) -> bool:
    """Whether a strut alone stands between two holes of one station."""
    width = np.sqrt(hole.area)
    return any(hole.distance(one) < 0.2 * width for one in run[number])


def _overlap(one: Any, other: Any) -> bool:
    return float(overlap(one, other).area) > _SAME_HOLE * min(one.area, other.area)


def _fluid(stage: Stage, holes: Sequence[Any]) -> float:
    return float(less(united(holes), stage.solid).area)


def _is_open(stages: Sequence[Stage], run: Run, way: int) -> bool:
    end = min(run) if way < 0 else max(run)
    beyond = end + way
    if not 0 <= beyond < len(stages):
        return True
    mouth = less(united(run[end]), stages[end].solid)
    covered = overlap(mouth, stages[beyond].filled).area
    return bool(covered < _SAME_HOLE * mouth.area)


def _ring(stages: Sequence[Stage], run: Run) -> tuple[Ring, dict[float, Any]] | None:
    """Ring of a run and the outlines left without it; ``None`` where none are left or it is too long."""
    first, last = min(run), max(run)
    start, end = stages[first].station_m, stages[last].station_m
    if end - start > LONGEST_RING * stages[-1].station_m or end <= start:
        return None
    beside = [stages[i].filled for i in (first - 1, last + 1) if 0 <= i < len(stages)]
    near = united(beside) if beside else _polygon()
    left = {stages[i].station_m: _left(stages[i], run[i], near) for i in run}
    if any(one.is_empty for one in left.values()):
        return None
    middle = min(run, key=lambda i: abs(stages[i].station_m - (start + end) / 2))
    stage, inner = stages[middle], left[stages[middle].station_m]
    outer = _holders(stage, run[middle])
    filled = united([_polygon(part.exterior) for part in outer])
    walls = less(united(outer), inner)
    open_m2 = _fluid(stage, run[middle])
    loops = [_corners(part.exterior)[:-1] for part in _parts(filled)]
    return (
        Ring(
            station_m=start,
            chord_m=end - start,
            loops=tuple(_counter_clockwise(loop) for loop in loops),
            outer_m2=float(filled.area),
            open_m2=open_m2,
            inside_m2=float(overlap(inner, filled).area),
            wall_m2=float(walls.area),
            wetted_m2=float(walls.length) * (end - start),
        ),
        left,
    )


def _duct(stages: Sequence[Stage], run: Run) -> Ring:
    """Make a ring of what flows through the body: its outside stays the body's."""
    first, last = min(run), max(run)
    chord = max(stages[last].station_m - stages[first].station_m, 1e-6)
    girths = [float(united(holes).length) for holes in run.values()]
    open_m2 = min(_fluid(stages[i], holes) for i, holes in run.items())
    mouth = united([hole.convex_hull for hole in run[first]])
    return Ring(
        station_m=stages[first].station_m,
        chord_m=chord,
        loops=tuple(_counter_clockwise(_corners(part.exterior)[:-1]) for part in _polygons(mouth)),
        outer_m2=open_m2,
        open_m2=open_m2,
        inside_m2=0.0,
        wall_m2=0.0,
        wetted_m2=float(np.mean(girths)) * chord,
        within=True,
    )


def _holders(stage: Stage, holes: Sequence[Any]) -> list[Any]:
    """Parts of a section that the holes are in."""
    return [
        part
        for part in _polygons(stage.solid)
        if any(part.exterior.envelope.buffer(1e-9).contains(hole.envelope) for hole in holes)
        and part.interiors
    ]


def _left(stage: Stage, holes: Sequence[Any], near: Any) -> Any:
    """Outline of a station without the thin walls and struts of a ring."""
    outer = united(_holders(stage, holes))
    others = less(stage.solid, outer.buffer(1e-9))
    limit = (
        _THINNEST_BODY
        * 2.0
        * float(np.sqrt(united([_polygon(p.exterior) for p in _parts(outer)]).area / np.pi))
    )
    core = outer.buffer(-limit / 2).buffer(limit / 2)
    kept = united([others, core, overlap(outer, near)])
    parts = [_polygon(part.exterior) for part in _parts(kept) if part.geom_type == "Polygon"]
    return united([part for part in parts if part.area > 1e-3 * stage.filled.area])


def _counter_clockwise(loop: NDArray[np.float64]) -> Loop:
    y, z = loop.T
    return loop if float(np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z)) > 0 else loop[::-1]


def _ring_note(ring: Ring) -> str:
    return (
        f"a ring of {1e3 * ring.chord_m:.0f} mm at station {1e3 * ring.station_m:.0f} mm, open at both ends, "
        "was taken off the body: it lifts as a ring wing does, within a quarter, and drags on both walls"
    )


def _full_note(stages: Sequence[Stage], run: Run) -> str:
    start, end = (1e3 * stages[i].station_m for i in (min(run), max(run)))
    return (
        f"an opening from station {start:.0f} to {end:.0f} mm has both ends open: its outside is counted as "
        "full, the air that flows through turns at its mouth, which may lift there by nothing or by all of "
        "it, rubs on its wall, and takes some of the push off the front: band and drag are wide for it"
    )
