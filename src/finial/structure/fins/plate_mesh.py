"""Triangles that fill a fin's outline, for plate elements."""

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.structure.fins.outline import trapezoids

if TYPE_CHECKING:
    from shapely import Polygon

_CLEAR = 0.55
"""Inner points keep this share of a triangle's side away from the outline."""
_TRIES = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateMesh:
    """Corners (n, 2) [m] and triangles (m, 3) of an outline filled without gaps."""

    corners_m: NDArray[np.float64]
    triangles: NDArray[np.int64]

    @property
    def area_m2(self) -> float:
        """Total area [m^2]."""
        return float(_areas(self.corners_m, self.triangles).sum())


def plate_mesh(
    outline_m: NDArray[np.float64], side_m: float, root_marks_m: tuple[float, ...] = ()
) -> PlateMesh:
    """Fill an outline with triangles of about one size.

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners in order: along the axis, outward from the root [m].
    side_m : float
        Length of a triangle's side [m].
    root_marks_m : tuple of float
        Distances along at which the root must have a corner [m].

    Returns
    -------
    mesh : PlateMesh
        Triangles whose union is the outline.

    Raises
    ------
    OutsideRange
        If the side is not above zero, the outline has no area or crosses itself.

    Notes
    -----
    Range: any outline that does not cross itself. Points stand on the outline and on a triangular grid
    inside; Delaunay's rule joins them. Where a narrow notch is coarser than the grid the side is halved.

    References
    ----------
    .. [1] Delaunay triangulation: de Berg et al., Computational Geometry, chapter 9; from memory.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> round(plate_mesh(square, 0.03).area_m2, 12)
    0.01
    """
    import shapely

    require_positive(side_m=side_m)
    trapezoids(outline_m)
    outline = np.asarray(outline_m, dtype=float)
    polygon = shapely.Polygon(outline)
    if not polygon.is_valid:
        raise OutsideRange(f"the fin's outline crosses itself: {shapely.is_valid_reason(polygon)}")
    for halvings in range(_TRIES):
        side = side_m / 2**halvings
        edge = _edge_points(outline, side, root_marks_m)
        mesh = _joined(np.vstack([edge, _inner_points(polygon, side)]), polygon)
        if abs(mesh.area_m2 - polygon.area) < 1e-9 * polygon.area:
            return mesh
    raise OutsideRange("the fin's outline has a notch or spike too narrow to fill with triangles")


def _edge_points(outline: NDArray[np.float64], side: float, marks: tuple[float, ...]) -> NDArray[np.float64]:
    """Points along the outline, every corner and root mark among them."""
    points: list[NDArray[np.float64]] = []
    for start, end in pairwise([*outline, outline[0]]):
        stops = [start, end]
        if start[1] == end[1] == 0.0:
            low, high = sorted((start[0], end[0]))
            kept = sorted((m for m in marks if low < m < high), reverse=bool(start[0] > end[0]))
            stops = [start, *(np.array([m, 0.0]) for m in kept), end]
        for a, b in pairwise(stops):
            count = max(1, round(float(np.linalg.norm(b - a)) / side))
            points.append(a + (b - a) * (np.arange(count) / count)[:, None])
    return np.vstack(points)


def _inner_points(polygon: "Polygon", side: float) -> NDArray[np.float64]:
    import shapely

    left, low, right, high = polygon.bounds
    rise = side * np.sqrt(3) / 2
    rows = np.arange(low + rise / 2, high, rise)
    grid = np.array(
        [
            (x, y)
            for index, y in enumerate(rows)
            for x in np.arange(left + side * (0.25 + 0.5 * (index % 2)), right, side)
        ]
    ).reshape(-1, 2)
    clear = shapely.contains_xy(polygon, grid) & (
        # The types of shapely's functions leave their keywords open.
        shapely.distance(  # pyright: ignore[reportUnknownMemberType]
            polygon.exterior, shapely.points(grid)
        )
        > _CLEAR * side
    )
    return grid[clear]


def _joined(points: NDArray[np.float64], polygon: "Polygon") -> PlateMesh:
    import shapely
    from scipy.spatial import Delaunay

    triangles = Delaunay(points).simplices.astype(np.int64)
    inside = shapely.contains_xy(polygon, points[triangles].mean(axis=1))
    # Three points along a straight edge make a triangle of no area.
    solid = _areas(points, triangles) > 1e-9 * polygon.area / max(len(triangles), 1)
    return PlateMesh(corners_m=points, triangles=triangles[inside & solid])


def _areas(corners: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.float64]:
    a, b, c = (corners[triangles[:, i]] for i in range(3))
    return np.abs((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])) / 2
