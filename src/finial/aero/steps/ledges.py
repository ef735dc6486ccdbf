"""Faces of the skin that meet the air and faces that turn away from it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from finial.aero.sections.crossflow import section_edge
from finial.aero.sections.outlines import outline_area
from finial.aero.sections.walls import FrontsAndBacks, growing_walls, standing_walls
from finial.aero.steps.outlying import Outlying, without_outlying
from finial.aero.steps.recesses import Edges, bridged
from finial.aero.steps.separation import envelope, torn_off
from finial.shape.lips import STREAMLINE_SLOPE
from finial.shape.skin import Section, Skin

_EDGE_DEPTH = 0.04
"""Share of a face's height that its outer edge takes. A rounded edge has turned away from
the wind by then, a sharp one has not."""
_SHARP_BEND_RAD = 0.5
"""A bend of the outline larger than this ends a face; a dome in ten slices bends by less."""
_SMALL = 2e-3
_SUCTION = 0.33
"""Base suction of a disc beyond that of a long body [-]: 1.17 in all, less 0.72 in front and
0.12 of a long body's base (from memory of Hoerner, Fluid-Dynamic Drag, 1965)."""
_SUCTION_POWER = 0.6
"""Fall of that suction with the sine of the face's slope; drawn through solid cones of 30 and
60 degrees, 0.34 and 0.51 (Aeronautical Engineer's Data Book p. 95, seen)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A stretch of growing (front) or shrinking (back) outline."""

    start_m: float
    end_m: float
    area_m2: float
    """Frontal area that the air reaches [m^2]."""
    steepness: float
    """Square of the sine of the slope, mean over the area: 1 for a flat face [-].

    No stretch counts steeper than the outline outside it: a dome hardly pushes, since what
    its steep middle pushes its rounded shoulder pulls. A taper that ends in a ledge counts
    as a taper and a ledge."""
    front: bool
    height_m: float
    """Rise of the outline that the air reaches, or its fall [m]."""
    rounded: float = 0.0
    """How far a back is round both ways, 0 to 1: it begins as gently as the dividing streamline falls,
    on a section without corners; the air leaves it where it likes [-]."""
    bridged: float = 0.0
    """How far it is the edge of a recess in a side that the air bridges [-]."""


def skin_faces(skin: Skin, walls: FrontsAndBacks | None = None) -> tuple[Face, ...]:
    """Front and back faces from tip to base, the base itself left out.

    Front faces count only where they rise above the streamline that leaves the lip before
    them; back faces only as far as they fall away faster than it does.

    Parameters
    ----------
    skin : Skin
        Outer outlines from tip to base.
    walls : FrontsAndBacks, optional
        How steeply the outline stands; without them its growth tells.

    Returns
    -------
    faces : tuple of Face
        With area the air reaches [m^2] and steepness [-].

    Notes
    -----
    A face lower than 0.2 % of the largest radius is left out; a bend above 0.5 rad ends a face. The
    streamline falls at 1 in 6.

    References
    ----------
    .. [1] Reattachment behind a step: J. K. Eaton, J. P. Johnston, AIAA Journal 19, 1981 (from memory). The
       rule for rounded shoulders is ours.

    Examples
    --------
    A flat top of 0.01 m^2, nothing else.

    >>> from finial.aero.sections.outlines import regular_polygon, tapered_skin
    >>> box = tapered_skin(lambda s: regular_polygon(4, s), [(0.0, 0.1), (0.5, 0.1)])
    >>> [(face.area_m2, face.steepness, face.front) for face in skin_faces(box)]
    [(0.01, 1.0, True)]
    """
    stations = np.concatenate([[0.0], skin.stations_m])
    radii = np.concatenate([[0.0], np.sqrt(skin.areas_m2 / np.pi)])
    slopes = (walls or growing_walls(skin)).slopes
    smallest = _SMALL * radii.max()
    line = envelope(stations, radii)
    faces: list[Face] = []
    for low, high in _runs(stations, radii):
        rise = radii[high] - radii[low]
        if abs(rise) < smallest:
            continue
        part = _Stretch(stations=stations, radii=radii, low=low, high=high, slopes=slopes[low:high])
        face = _front(part, float(line[low])) if rise > 0 else _back(part)
        if face is not None and face.rounded:
            face = replace(face, rounded=face.rounded * smoothness(skin.sections[max(low - 1, 0)]))
        if face is not None and face.area_m2 > smallest * radii.max():
            faces.append(face)
    return tuple(faces)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wake:
    """Suction behind a body too short for the flow to come back to its sides."""

    start_m: float
    """Backs from here on, and the base, feel it [m]."""
    suction: float
    """Pressure coefficient below that behind a long body [-], positive."""
    cornered: float = 0.0
    """How sharp the corners are of the section that the last front ends at, 0 to 1 [-]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outside:
    """What of a skin meets the wind, the same at every speed; equal only to itself."""

    walls: FrontsAndBacks
    faces: tuple[Face, ...]
    wake: Wake
    outlying: tuple[Outlying, ...] = ()
    """What stands beside the body."""


def smoothness(section: Section) -> float:
    """How far a section has no corners, over its outlines by their area.

    Parameters
    ----------
    section : Section

    Returns
    -------
    smoothness : float
        0 with right angles, 1 without corners [-].

    Notes
    -----
    An outline of no area counts as full of corners.

    References
    ----------
    .. [1] As ``section_edge``.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon, section_of
    >>> [round(smoothness(section_of(0.0, [regular_polygon(sides, 1.0)])), 2) for sides in (4, 8, 60)]
    [0.0, 0.5, 0.99]
    """
    sharp = [section_edge(loop).sharpness for loop in section.loops]
    weight = [abs(outline_area(loop)) for loop in section.loops]
    return float(1.0 - np.average(sharp, weights=weight)) if sum(weight) > 0 else 0.0


def outside_of(skin: Skin, walls: FrontsAndBacks | None = None) -> Outside:
    """Faces and wake of a skin.

    Parameters
    ----------
    skin : Skin
        Outer outlines from tip to base.
    walls : FrontsAndBacks, optional
        How steeply the outline stands; without them the skin is seen only by how its sections grow.

    Returns
    -------
    outside : Outside
        What meets the wind, the same at every speed.

    Notes
    -----
    Range and error as ``skin_faces`` and ``short_wake``.

    References
    ----------
    .. [1] As ``skin_faces`` and ``short_wake``.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon, tapered_skin
    >>> box = tapered_skin(lambda s: regular_polygon(4, s), [(0.0, 0.1), (0.5, 0.1)])
    >>> len(outside_of(box).faces)
    1
    """
    walls = walls or growing_walls(skin)
    faces = _with_recesses(skin, skin_faces(skin, walls))
    return Outside(walls=walls, faces=faces, wake=short_wake(skin, faces))


def _with_recesses(skin: Skin, faces: tuple[Face, ...]) -> tuple[Face, ...]:
    """Mark backs and fronts that are the two edges of a recess."""
    found = list(faces)
    for place, (back, front) in enumerate(pairwise(faces)):
        if back.front or not front.front:
            continue
        edges = Edges(fore_m=(back.start_m, back.end_m), aft_m=(front.start_m, front.end_m))
        fore, aft = bridged(skin, edges)
        found[place : place + 2] = replace(back, bridged=fore), replace(front, bridged=aft)
    return tuple(found)


def whole_outside(skin: Skin) -> Outside:
    """Faces and wake of a body with its outlines laid over one another, and what stands beside it.

    Parameters
    ----------
    skin : Skin
        Outer outlines from tip to base.

    Returns
    -------
    outside : Outside
        What meets the wind, the same at every speed.

    Notes
    -----
    As ``outside_of`` and ``without_outlying``.

    References
    ----------
    .. [1] As ``outside_of`` and ``without_outlying``.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon, tapered_skin
    >>> box = tapered_skin(lambda s: regular_polygon(4, s), [(0.0, 0.1), (0.5, 0.1)])
    >>> whole_outside(box).outlying
    ()
    """
    body, outlying = without_outlying(skin)
    return replace(outside_of(body, standing_walls(body)), outlying=outlying)


def short_wake(skin: Skin, faces: Sequence[Face]) -> Wake:
    r"""Extra suction on everything behind the last front face.

    .. math::  \Delta C = 0.33 \, (\sin\epsilon)^{0.6} \, e^{-l / h} \min(1, S_{front} / S_{rear})

    ``l`` is how far the outline runs on behind the face, ``h`` the face's height. A disc gives
    0.33, a cylinder half as long as it is wide 0.12, anything long nothing.

    Parameters
    ----------
    skin : Skin
        Outer outlines from tip to base.
    faces : sequence of Face
        Its faces.

    Returns
    -------
    wake : Wake
        Where it begins [m] and how much more it sucks [-].

    Notes
    -----
    Drawn through a disc and solid cones of 30 and 60 degrees; cylinders end-on of length 0 to 7 widths come
    out within 7 %.

    References
    ----------
    .. [1] Disc 1.17: S. F. Hoerner, Fluid-Dynamic Drag, 1965 (from memory). Cones 0.34 and 0.51: Aeronautical
       Engineer's Data Book p. 95 (seen).

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> disc = tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (0.001, 0.1)])
    >>> round(short_wake(disc, skin_faces(disc)).suction, 2)
    0.32
    """
    fronts = [face for face in faces if face.front]
    if not fronts:
        return Wake(start_m=skin.length_m, suction=0.0)
    last = fronts[-1]
    rear = [face for face in faces if not face.front and face.start_m >= last.end_m]
    run = (rear[0].start_m if rear else skin.length_m) - last.end_m
    area = sum(face.area_m2 for face in rear) + skin.base_area_m2
    share = min(1.0, last.area_m2 / max(area, 1e-12))
    slope = last.steepness ** (_SUCTION_POWER / 2)
    ends_at = min(int(np.searchsorted(skin.stations_m, last.end_m)), len(skin.sections) - 1)
    return Wake(
        start_m=last.end_m,
        suction=_SUCTION * slope * float(np.exp(-run / last.height_m)) * share,
        cornered=1.0 - smoothness(skin.sections[ends_at]),
    )


def _runs(stations: NDArray[np.float64], radii: NDArray[np.float64]) -> list[tuple[int, int]]:
    """First and last index of every stretch that only grows or only shrinks, without a sharp bend."""
    rise, gap = np.diff(radii), np.diff(stations)
    sign = np.sign(rise)
    sign[np.abs(rise) < 1e-6 * radii.max()] = 0
    # A flat top on a flaring tower grows all the way, yet its edge is sharp: part it there.
    bent = np.abs(np.diff(np.arctan2(rise, np.maximum(gap, 1e-12)))) > _SHARP_BEND_RAD
    changes = np.flatnonzero((np.diff(sign) != 0) | bent) + 1
    edges = [0, *changes.tolist(), len(radii) - 1]
    return [(a, b) for a, b in pairwise(edges) if b > a and sign[a] != 0]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    """A run of sections, and the slopes between them."""

    stations: NDArray[np.float64]
    radii: NDArray[np.float64]
    low: int
    high: int
    slopes: NDArray[np.float64]


def _front(part: _Stretch, line: float) -> Face | None:
    stations, radii, low, high = part.stations, part.radii, part.low, part.high
    hidden = line - STREAMLINE_SLOPE * (stations[high] - stations[low])
    bottom = max(radii[low], min(hidden, radii[high])) if low else 0.0
    height = radii[high] - bottom
    if height <= 0:
        return None
    shown = radii[low : high + 1]
    return Face(
        start_m=float(stations[low]),
        end_m=float(stations[high]),
        area_m2=round(float(np.pi * (radii[high] ** 2 - bottom**2)), 15),
        steepness=round(_steepness(part.slopes, shown, bottom), 12),
        front=True,
        height_m=float(height),
    )


def _steepness(slopes: NDArray[np.float64], radii: NDArray[np.float64], bottom: float) -> float:
    """Mean squared sine over the area that shows, each stretch no steeper than those outside it."""
    slope = slopes.copy()
    edge = radii[-1] - _EDGE_DEPTH * (radii[-1] - bottom)
    # The last stretch that counts reaches through the edge depth; what lies outside it does as it does.
    last = int(np.flatnonzero((radii[:-1] <= edge) & (radii[1:] >= edge))[-1])
    slope[last + 1 :] = slope[last]
    slope = np.minimum.accumulate(slope[::-1])[::-1]
    ring = np.diff(np.maximum(radii, bottom) ** 2)
    return float(np.sum(ring * slope**2 / (1 + slope**2)) / ring.sum())


def _back(part: _Stretch) -> Face | None:
    stations, radii, low, high = part.stations, part.radii, part.low, part.high
    fall = -np.diff(radii[low : high + 1]) / np.maximum(np.diff(stations[low : high + 1]), 1e-12)
    ring = -np.diff(np.pi * radii[low : high + 1] ** 2)
    area = 0.0
    # As steep as the whole of each steep run: a rounded back is torn off from its shoulder on.
    for first, last in _steep_runs(fall):
        drop, run = radii[low + first] - radii[low + last], stations[low + last] - stations[low + first]
        area += float(ring[first:last].sum() * torn_off(np.array(drop / max(run, 1e-12))))
    steep = float(part.slopes.max())
    return Face(
        start_m=float(stations[low]),
        end_m=float(stations[high]),
        area_m2=area,
        steepness=steep**2 / (1 + steep**2),
        front=False,
        height_m=float(radii[low] - radii[high]),
        rounded=float(fall[0] <= STREAMLINE_SLOPE),
    )


def _steep_runs(fall: NDArray[np.float64]) -> list[tuple[int, int]]:
    """First and last corner of every unbroken run of stretches steeper than the dividing streamline."""
    steep = np.concatenate([[False], fall > STREAMLINE_SLOPE, [False]]).astype(int)
    change = np.diff(steep)
    starts, ends = np.flatnonzero(change == 1), np.flatnonzero(change == -1)
    return list(zip(starts.tolist(), ends.tolist(), strict=True))
