"""How far things inside stand from one another: signed, in every direction."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from finial.inside.things import Thing, thing_mesh
from finial.shape.mesh import crossed

SAMPLES = 33
"""Points along an edge of a thing that may lie within a bore."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Nearest distance between two things.

    Positive: free room between them. Negative: they take the same room, and one must move by
    that much to be clear.
    """

    first: str
    second: str
    gap_m: float
    station_m: float
    """Where they come nearest [m]."""
    along: bool = False
    """True where the shortest way out runs along the axis."""


def gap_between(first: Thing, second: Thing) -> Gap:
    r"""Signed distance of two things.

    .. math::  g = \begin{cases} \sqrt{g_a^2 + g_r^2} & g_a, g_r > 0 \\ \max(g_a, g_r) & \text{else}
               \end{cases}, \qquad g_r = \max(d - r_1 - r_2, \; b_1 - d - r_2, \; b_2 - d - r_1)

    with :math:`g_a` the space between their spans, :math:`d` between their axes, :math:`r` their
    radii and :math:`b` their bores' radii.

    Parameters
    ----------
    first, second : Thing
        The two, anywhere.

    Returns
    -------
    gap : Gap
        Distance [m], negative where both take the same room: the shortest move apart.

    Notes
    -----
    Exact for round things along the axis. Boxes and things that lean are held apart by a plane
    square to a side, an axis or two edges: where they take the same room this is their shortest
    move, where they are apart it reads up to 1/sqrt(3) low at corners, never high. Round things
    that lean have 48 flat sides. A thing that lies within the other's bore is clear of it.

    References
    ----------
    .. [1] C. Ericson, Real-Time Collision Detection, 2005, chapter 5: the separating axis test (from memory,
       not re-read).

    Examples
    --------
    >>> from finial.inside.things import Kind
    >>> tube = Thing(name="tube", kind=Kind.TUBE, middle_m=0.5, length_m=0.4, across_m=0.06, bore_m=0.056)
    >>> motor = Thing(name="motor", kind=Kind.MOTOR, middle_m=0.5, length_m=0.4, across_m=0.054)
    >>> round(gap_between(tube, motor).gap_m, 6)
    0.001
    """
    if (first.name, second.name) > (second.name, first.name):
        first, second = second, first
    return _gap(first, second)


@lru_cache(maxsize=8192)
def _gap(first: Thing, second: Thing) -> Gap:
    (fore_1, aft_1), (fore_2, aft_2) = first.span_m, second.span_m
    along = max(fore_2 - aft_1, fore_1 - aft_2)
    station = (max(fore_1, fore_2) + min(aft_1, aft_2)) / 2
    if first.is_upright and second.is_upright and first.is_round and second.is_round:
        across = _round_gap(first, second)
        gap = math.hypot(along, across) if along > 0.0 and across > 0.0 else max(along, across)
        lengthwise = along >= across
    else:
        gap, lengthwise = _held_apart(first, second)
        within = max(_room_in(first, second), _room_in(second, first))
        gap, lengthwise = (within, False) if within > gap else (gap, lengthwise)
    return Gap(first=first.name, second=second.name, gap_m=gap, station_m=station, along=lengthwise)


def _round_gap(first: Thing, second: Thing) -> float:
    apart = math.dist(first.offset_m, second.offset_m)
    outside = apart - first.reach_m - second.reach_m
    within = [
        one.bore_m / 2 - apart - other.reach_m
        for one, other in ((first, second), (second, first))
        if one.bore_m > 0.0
    ]
    return max(outside, *within) if within else outside


def _held_apart(first: Thing, second: Thing) -> tuple[float, bool]:
    """Widest space between two planes that part two convex things, and whether it lies along the axis."""
    directions = _directions(first, second)
    one, other = (thing_mesh(thing).vertices_m @ directions for thing in (first, second))
    spaces = np.maximum(other.min(axis=0) - one.max(axis=0), one.min(axis=0) - other.max(axis=0))
    best = int(spaces.argmax())
    return float(spaces[best]), bool(abs(directions[0, best]) > math.sqrt(0.5))


def _directions(first: Thing, second: Thing) -> NDArray[np.float64]:
    """Return unit vectors square to the sides and ends of either, and to an edge of each, shape (3, n)."""
    (edges, faces), (others, their_faces) = _edges_and_faces(first), _edges_and_faces(second)
    both = crossed(edges[:, :, None], others[:, None, :]).reshape(3, -1)
    every = np.hstack([edges[:, :1], others[:, :1], faces, their_faces, both])
    length = np.sqrt((every * every).sum(axis=0))
    return every[:, length > 1e-9] / length[length > 1e-9]


# What moves is one, what it is held apart from are many that stay.
@lru_cache(maxsize=1024)
def _edges_and_faces(thing: Thing) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Its axis, then the directions of the edges round its end, opposite ones once; and square to its sides.

    Of shape (3, n) and (3, n - 1).
    """
    end = thing_mesh(thing).vertices_m
    ring = end[: len(end) // 2]
    edges = (np.roll(ring, -1, axis=0) - ring)[: len(ring) // 2]
    along = np.vstack([thing.forward, edges / np.linalg.norm(edges, axis=1)[:, None]])
    return along.T, crossed(along[1:].T, along[:1].T)


def _room_in(tube: Thing, inner: Thing) -> float:
    """Room round a thing within another's bore [m]; minus infinity where it is not in it at all."""
    if tube.bore_m == 0.0:
        return -math.inf
    corners = thing_mesh(inner).vertices_m
    near, far = corners[: len(corners) // 2], corners[len(corners) // 2 :]
    shares = np.linspace(0.0, 1.0, SAMPLES)[:, None, None]
    from_middle = (near + shares * (far - near)).reshape(-1, 3) - [-tube.middle_m, *tube.offset_m]
    along = from_middle @ tube.forward
    beside = np.abs(along) <= tube.length_m / 2
    if not beside.any():
        return -math.inf
    radial = np.linalg.norm(from_middle - along[:, None] * tube.forward, axis=1)
    return tube.bore_m / 2 - float(radial[beside].max())
