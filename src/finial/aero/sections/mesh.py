"""Panels on all outlines and plates of one section, in units of its size."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.sections.outlines import outline_area
from finial.aero.sections.panels import SHARP_TURN_RAD, Panels, panel_loop, panel_plate, tidy, turning
from finial.core.errors import MeshError, OutsideRange
from finial.core.kept_parts import kept

_TIDY = 4e-4
"""Outline detail left out, as a share of the outline's size."""
_SLIVER = 1e-5
"""Outlines of less than this share of the largest one's area are left out."""
_TOUCH = 2e-3
"""A plate whose root is nearer the outline than this share of the outline's size stands on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionMesh:
    """Panels of a section about the middle of its outlines, in units of their size."""

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
        Panels in units of the outlines' size [-], with their middle and size [m].

    Raises
    ------
    OutsideRange
        If a coordinate is not finite or there is neither an outline nor a plate.
    MeshError
        If the outlines, or plates without any, lie in one point, or an outline has fewer than three points.

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
    if not all(np.isfinite(line).all() for line in points):
        raise OutsideRange("an outline holds a coordinate that is not a finite number")
    split = len(loops)
    # In units of the outlines alone, so that they stay the same whatever stands on them.
    sized = np.vstack(points[:split] or points)
    origin, size = (sized.max(axis=0) + sized.min(axis=0)) / 2, float(np.ptp(sized, axis=0).max())
    if size <= 0:
        raise MeshError("an outline of no size has no added mass")
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
    tidied = _tidied(tuple(loops))
    owner = _standing(tuple(loops), tuple(plate[0] for plate in plates))
    held = list(zip(plates, owner, strict=True))
    roots = tuple(
        tuple(plate[0] for plate, joined in held if joined == number) for number in range(len(tidied))
    )
    corners = _outline_panels(tuple(loops), roots, panels)
    starts, ends = list(corners), [np.roll(one, -1, axis=0) for one in corners]
    body = [number for number, one in enumerate(corners) for _ in one]
    area, on_loops, free = sum(outline_area(one) for one in corners), len(body), len(tidied)
    for plate, joined in held:
        count = plate_panels if joined >= 0 else 2 * plate_panels
        line = panel_plate(plate, count, root_grading=2.0 if joined >= 0 else 3.0)
        starts.append(line[:-1])
        ends.append(line[1:])
        free += joined < 0
        body += [joined if joined >= 0 else free - 1] * count
    return Panels(
        starts=np.vstack(starts),
        ends=np.vstack(ends),
        body=np.array(body),
        closed=np.arange(len(body)) < on_loops,
        area_m2=area,
    )


@kept(8)
def _tidied(loops: tuple[NDArray[np.float64], ...]) -> tuple[NDArray[np.float64], ...]:
    return tuple(tidy(loop, _TIDY * _extent(loop)) for loop in loops)


# Fins grow on the page, and their roots stand on the outline as before.
@kept(8)
def _standing(
    loops: tuple[NDArray[np.float64], ...], roots: tuple[NDArray[np.float64], ...]
) -> tuple[int, ...]:
    tidied = _tidied(loops)
    return tuple(_stands_on(tidied, root) for root in roots)


def _stands_on(loops: Sequence[NDArray[np.float64]], root: NDArray[np.float64]) -> int:
    """Return the number of the outline that a plate stands on; -1 for a free one."""
    near = [_distance(loop, root) / _extent(loop) for loop in loops]
    return int(np.argmin(near)) if near and min(near) < _TOUCH else -1


# Fins grow on the page, and the outline that they stand on is panelled as before.
@kept(8)
def _outline_panels(
    loops: tuple[NDArray[np.float64], ...], roots: tuple[tuple[NDArray[np.float64], ...], ...], panels: int
) -> tuple[NDArray[np.float64], ...]:
    """Corners of the panels round each outline, one where each plate stands on it."""
    tidied = _tidied(loops)
    edges = [np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1).sum() for loop in tidied]
    found: list[NDArray[np.float64]] = []
    for given, loop, edge, standing in zip(loops, tidied, edges, roots, strict=True):
        corners_here = int(np.sum(np.abs(turning(loop)) > SHARP_TURN_RAD))
        share = max(24, round(panels * edge / sum(edges)), min(5 * corners_here, 2 * panels))
        with_roots, ends_at = _with_points(loop, standing)
        found.append(_same_area(panel_loop(with_roots, share, ends_at), outline_area(given)))
    return tuple(found)


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
