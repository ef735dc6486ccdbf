"""Panels on all outlines and plates of one section, in units of its size."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.sections.outlines import outline_area
from finial.aero.sections.panels import SHARP_TURN_RAD, Panels, panel_loop, panel_plate, tidy, turning
from finial.core.errors import MeshError, OutsideRange

_TIDY = 4e-4
"""Outline detail left out, as a share of the outline's size."""
_SLIVER = 1e-5
"""Outlines of less than this share of the largest one's area are left out."""
_TOUCH = 2e-3
"""A plate whose root is nearer the outline than this share of the outline's size stands on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionMesh:
    """Panels of a section about its middle, in units of its size."""

    panels: Panels
    origin_m: NDArray[np.float64]
    size_m: float


def panelled_section(
    loops: Sequence[NDArray[np.float64]],
    plates: Sequence[NDArray[np.float64]],
    panels: int,
    plate_panels: int,
) -> SectionMesh:
    """Panel closed outlines and the plates that stand on them.

    Parameters
    ----------
    loops : sequence of ndarray, each shape (n, 2)
        Closed outlines [m]; each is turned counter-clockwise.
    plates : sequence of ndarray, each shape (n, 2)
        Open lines, root first [m]; a root within 0.2 % of an outline's size stands on it.
    panels : int
        Panels for all outlines together, shared out by perimeter, at least 24 each.
    plate_panels : int
        Panels for a plate on an outline; a free one gets twice as many.

    Returns
    -------
    mesh : SectionMesh
        Panels in units of the section's size [-], with its middle and size [m].

    Raises
    ------
    OutsideRange
        If a coordinate is not finite or there is neither an outline nor a plate.
    MeshError
        If everything given lies in one point, or an outline has fewer than three points.

    Notes
    -----
    Detail below 4e-4 of an outline's size is left out, slivers below 1e-5 of the largest area too. Panels are
    chords, swollen to the area of the outline they follow.

    References
    ----------
    .. [1] No published method: graded so that ``added_mass_tensor`` comes within 0.2 % of closed forms.

    Examples
    --------
    >>> from finial.aero.sections.outlines import regular_polygon
    >>> mesh = panelled_section([regular_polygon(4, 2.0, np.pi / 4)], [], 48, 14)
    >>> mesh.size_m.__round__(9), round(mesh.panels.area_m2, 9)
    (2.0, 1.0)
    """
    points = [np.asarray(line, dtype=float) for line in (*loops, *plates)]
    if not points:
        raise OutsideRange("an added mass needs at least one outline or plate")
    every = np.vstack(points)
    if not np.isfinite(every).all():
        raise OutsideRange("an outline holds a coordinate that is not a finite number")
    origin, size = (every.max(axis=0) + every.min(axis=0)) / 2, float(np.ptp(every, axis=0).max())
    if size <= 0:
        raise MeshError("an outline of no size has no added mass")
    split = len(loops)
    scaled = [(line - origin) / size for line in points]
    mesh = _panelled(_usable(scaled[:split]), scaled[split:], panels, plate_panels)
    return SectionMesh(panels=mesh, origin_m=origin, size_m=size)


def _usable(loops: Sequence[NDArray[np.float64]]) -> list[NDArray[np.float64]]:
    """Outlines turned counter-clockwise, without slivers that a damaged mesh may leave."""
    areas = [outline_area(loop) for loop in loops]
    least = _SLIVER * max((abs(area) for area in areas), default=0.0)
    return [
        loop if area > 0 else loop[::-1]
        for loop, area in zip(loops, areas, strict=True)
        if abs(area) >= least
    ]


def _panelled(
    loops: Sequence[NDArray[np.float64]],
    plates: Sequence[NDArray[np.float64]],
    panels: int,
    plate_panels: int,
) -> Panels:
    """Panel all outlines and plates, and note which hang together."""
    tidied = [tidy(loop, _TIDY * _extent(loop)) for loop in loops]
    fixed: list[list[NDArray[np.float64]]] = [[] for _ in tidied]
    owner: list[int] = []
    for plate in plates:
        near = [_distance(loop, plate[0]) / _extent(loop) for loop in tidied]
        joined = int(np.argmin(near)) if near and min(near) < _TOUCH else -1
        owner.append(joined)
        if joined >= 0:
            fixed[joined].append(plate[0])
    edges = [np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1).sum() for loop in tidied]
    starts: list[NDArray[np.float64]] = []
    ends: list[NDArray[np.float64]] = []
    body: list[int] = []
    for number, loop in enumerate(tidied):
        corners_here = int(np.sum(np.abs(turning(loop)) > SHARP_TURN_RAD))
        share = max(24, round(panels * edges[number] / sum(edges)), min(5 * corners_here, 2 * panels))
        loop, ends_at = _with_points(loop, fixed[number])
        corners = _same_area(panel_loop(loop, share, ends_at), outline_area(loops[number]))
        starts.append(corners)
        ends.append(np.roll(corners, -1, axis=0))
        body += [number] * len(corners)
    area, on_loops = sum(outline_area(corners) for corners in starts), len(body)
    free = len(tidied)
    for plate, joined in zip(plates, owner, strict=True):
        count = plate_panels if joined >= 0 else 2 * plate_panels
        corners = panel_plate(plate, count, root_grading=2.0 if joined >= 0 else 3.0)
        starts.append(corners[:-1])
        ends.append(corners[1:])
        free += joined < 0
        body += [joined if joined >= 0 else free - 1] * count
    return Panels(
        starts=np.vstack(starts),
        ends=np.vstack(ends),
        body=np.array(body),
        closed=np.arange(len(body)) < on_loops,
        area_m2=area,
    )


def _extent(loop: NDArray[np.float64]) -> float:
    return float(np.ptp(loop, axis=0).max())


def _same_area(corners: NDArray[np.float64], given: float) -> NDArray[np.float64]:
    """Swell the panels, which are chords, to the area of the outline they follow."""
    panelled = outline_area(corners)
    if not 0.9 < given / panelled < 1.1:
        return corners
    middle = corners.mean(axis=0)
    return middle + (corners - middle) * np.sqrt(given / panelled)


def _nearest(loop: NDArray[np.float64], point: NDArray[np.float64]) -> tuple[NDArray[np.float64], int]:
    """Distance of a point from every edge, and the number of the nearest edge."""
    edge = np.roll(loop, -1, axis=0) - loop
    share = np.clip(np.sum((point - loop) * edge, axis=1) / np.sum(edge**2, axis=1), 0.0, 1.0)
    gap = np.linalg.norm(loop + share[:, None] * edge - point, axis=1)
    return gap, int(np.argmin(gap))


def _distance(loop: NDArray[np.float64], point: NDArray[np.float64]) -> float:
    return float(_nearest(loop, point)[0].min())


def _with_points(
    loop: NDArray[np.float64], points: Sequence[NDArray[np.float64]]
) -> tuple[NDArray[np.float64], tuple[int, ...]]:
    """Outline with extra corners where plates stand on it, and the numbers of those corners."""
    for point in points:
        corner = np.linalg.norm(loop - point, axis=1)
        if corner.min() > _TOUCH * _extent(loop):
            loop = np.insert(loop, _nearest(loop, point)[1] + 1, point, axis=0)
    return loop, tuple(int(np.argmin(np.linalg.norm(loop - point, axis=1))) for point in points)
