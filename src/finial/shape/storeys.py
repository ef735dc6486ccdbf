"""A tower drawn from storeys without CAD: tapers, twists, roofs, ledges, pockets, bores, one closed solid."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.shape.tiers import side_faces, unit_dome, unit_ring
from finial.shape.united import Body, loose_bodies

_TWIST_STEP_RAD = math.radians(3.0)
"""A twisted storey has a ring at least this often [rad]; chosen."""
_FINE_CORNERS = 96
_CORNER_STEPS = 12
_ARCH_STEPS = 24


class Roof(StrEnum):
    """How a storey ends."""

    FLAT = "flat"
    DOME = "dome"
    GABLE = "gable"
    HIP = "hip"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledge:
    """A band round a storey."""

    out_m: float
    """How far it stands out [m]."""
    from_m: float
    """Height of its lower edge over the storey's foot [m]."""
    height_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """Shallow windows round a storey, all alike."""

    count: int
    first_rad: float
    """Roll angle of the first, from mesh x to mesh y [rad]."""
    width_m: float
    height_m: float
    sill_m: float
    """Height of its lower edge over the storey's foot [m]."""
    depth_m: float
    is_arched: bool = False
    """Whether its top is half a circle, within the height."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Storey:
    """One storey: an outline that tapers and twists, and what stands on it or is cut into it.

    Raises
    ------
    OutsideRange
        If a size is not above zero, the outline crosses itself, or a pocket or ledge lies beside the storey.
    """

    outline_m: NDArray[np.float64]
    """Corners at its foot about the axis, counter-clockwise seen from above, shape (n, 2) [m]."""
    height_m: float
    top: float = 1.0
    """Width at the top over that at the foot [-]; 0 for a point."""
    twist_rad: float = 0.0
    roof: Roof = Roof.FLAT
    ledges: tuple[Ledge, ...] = ()
    pockets: tuple[Pocket, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what makes no body, or lies beside it."""
        require_positive(height_m=self.height_m)
        _refuse_crossed(self.outline_m)
        if not (math.isfinite(self.top) and self.top >= 0.0 and math.isfinite(self.twist_rad)):
            raise OutsideRange(f"a storey cannot be {self.top} times as wide at its top")
        if self.roof is not Roof.FLAT and (self.top != 1.0 or self.ledges or self.pockets):
            raise OutsideRange(f"a {self.roof.value} has no width at its top, no ledges and no windows")
        if self.roof in (Roof.GABLE, Roof.HIP) and not _looks_outward(self.outline_m):
            raise OutsideRange(f"a {self.roof.value} on an outline with corners that look inward")
        bands = [(one.from_m, one.height_m, one.out_m, "ledge") for one in self.ledges]
        bands += [(one.sill_m, one.height_m, one.depth_m, "window") for one in self.pockets]
        for low, high, reach, what in bands:
            require_positive(height_m=high, reach_m=reach)
            if low < 0.0 or low + high > self.height_m * (1 + 1e-9):
                raise OutsideRange(
                    f"a {what} from {low} to {low + high} m of a storey {self.height_m} m high"
                )

    @property
    def sides_m(self) -> NDArray[np.float64]:
        """Extents of the outline, shape (2,) [m]."""
        return np.ptp(self.outline_m, axis=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bore:
    """A hole upright through a tower."""

    heights_m: tuple[float, float]
    """From and to, over the foot of the lowest storey [m]."""
    sides_m: tuple[float, float]
    """Both sides; of a round one both are its diameter [m]."""
    is_round: bool = True
    offset_m: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shoulder:
    """A plug below the lowest storey, of the same outline, that goes into the part below."""

    across_m: float
    length_m: float


def rectangle(across_m: float, deep_m: float) -> NDArray[np.float64]:
    """Corners of a rectangle about the axis.

    Parameters
    ----------
    across_m, deep_m : float
        Sides along mesh x and y [m].

    Returns
    -------
    outline_m : ndarray, shape (4, 2)
        Counter-clockwise [m].

    Raises
    ------
    OutsideRange
        If a side is not above zero.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> rectangle(2.0, 1.0)[0].tolist()
    [1.0, -0.5]
    """
    require_positive(across_m=across_m, deep_m=deep_m)
    return np.array([[1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]]) * (across_m / 2, deep_m / 2)


def rounded(outline_m: NDArray[np.float64], radius_m: float) -> NDArray[np.float64]:
    r"""Round the corners of a convex outline by arcs that touch both sides.

    .. math::  t = r \cot(\beta / 2)

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Counter-clockwise corners [m].
    radius_m : float
        Radius of the arcs, r [m].

    Returns
    -------
    outline_m : ndarray, shape (13 n, 2)
        Corners with arcs of twelve chords each [m].

    Raises
    ------
    OutsideRange
        If a corner looks inward, or the arcs of two corners would overlap.

    Notes
    -----
    The arc begins t before its corner, :math:`\beta` being the angle between the sides. Chords lie inside the
    arcs: the area is short by less than 0.03 % of the squares of the radius.

    References
    ----------
    .. [1] Tangent length of a circle in an angle: any handbook of mensuration.

    Examples
    --------
    >>> len(rounded(rectangle(2.0, 1.0), 0.2))
    52
    """
    require_positive(radius_m=radius_m)
    after = np.roll(outline_m, -1, axis=0)
    into = _unit(outline_m - np.roll(outline_m, 1, axis=0))
    turn = _turns(outline_m)
    if (turn <= 0.0).any():
        raise OutsideRange("corners that look inward are not rounded: draw the outline as it is to be")
    cut = radius_m * np.tan(turn / 2)
    lengths = np.linalg.norm(after - outline_m, axis=1)
    if (cut + np.roll(cut, -1) > lengths).any():
        raise OutsideRange(f"corners rounded by {radius_m} m overlap: a smaller radius")
    start = outline_m - into * cut[:, None]
    left = np.column_stack([-into[:, 1], into[:, 0]])
    middle = start + radius_m * left
    angles = np.arctan2(-left[:, 1], -left[:, 0])[:, None] + turn[:, None] * np.linspace(
        0.0, 1.0, _CORNER_STEPS + 1
    )
    arcs = middle[:, None, :] + radius_m * np.stack([np.cos(angles), np.sin(angles)], axis=2)
    return arcs.reshape(-1, 2)


def _refuse_crossed(outline_m: NDArray[np.float64]) -> None:
    import shapely

    x, y = outline_m.T
    area = 0.5 * float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    if not (area > 0.0 and shapely.is_valid(shapely.Polygon(outline_m))):
        raise OutsideRange("an outline that crosses itself or goes round the wrong way makes no storey")


def _turns(outline_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far the outline turns left at each corner [rad]."""
    into = _unit(outline_m - np.roll(outline_m, 1, axis=0))
    out = np.roll(into, -1, axis=0)
    return np.arctan2(into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0], (into * out).sum(axis=1))


def _looks_outward(outline_m: NDArray[np.float64]) -> bool:
    return bool((_turns(outline_m) >= 0.0).all())


def _unit(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    return vectors / np.linalg.norm(vectors, axis=1)[:, None]


def tower(storeys: Sequence[Storey], *, bores: Sequence[Bore] = (), shoulder: Shoulder | None = None) -> Body:
    """Stack storeys on one another, join them, and take the bores out.

    Parameters
    ----------
    storeys : sequence of Storey
        From the bottom up; the foot of the lowest lies at z = 0.
    bores : sequence of Bore
        Upright holes.
    shoulder : Shoulder, optional
        A plug below the foot.

    Returns
    -------
    solid : manifold3d.Manifold
        One closed solid, z up, its axis at x = y = 0 [m].

    Raises
    ------
    OutsideRange
        If there is no storey, an outline crosses itself, bores leave nothing, or it falls apart.
    MeshError
        Never: what is drawn here is not inside out.

    Notes
    -----
    Flat sides are exact; round ones are drawn with 96 sides of the same area, domes with 24 rings, twists
    with a ring every 3 degrees. A pocket is as deep all over as it is told where the outline is a circle, a
    regular polygon or a rectangle; in others along their two extents.

    References
    ----------
    .. [1] Regularised set operations on closed polyhedra; the library is manifold3d.

    Examples
    --------
    >>> post = Storey(outline_m=rectangle(0.1, 0.2), height_m=0.5)
    >>> round(tower([post, post]).volume(), 9)
    0.02
    """
    import manifold3d

    if not storeys:
        raise OutsideRange("a tower needs at least one storey")
    bodies: list[Body] = []
    foot = 0.0
    for storey in storeys:
        bodies.append(_storey(storey).translate((0.0, 0.0, foot)))
        foot += storey.height_m
    if shoulder is not None:
        bodies.append(_plug(storeys[0], shoulder))
    whole: Any = manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add)
    for bore in bores:
        whole = whole - _bored(bore)
    if whole.is_empty():
        raise OutsideRange("the bores leave nothing of it")
    count = len(loose_bodies(whole))
    if count != 1:
        raise OutsideRange(f"it falls into {count} bodies: a bore or a gap parts what should hang together")
    return whole


def _plug(lowest: Storey, shoulder: Shoulder) -> Body:
    require_positive(across_m=shoulder.across_m, length_m=shoulder.length_m)
    share = shoulder.across_m / float(lowest.sides_m[0])
    ring = lowest.outline_m * share
    return _loft([ring, ring], np.array([-shoulder.length_m, 0.0]))


def _bored(bore: Bore) -> Body:
    low, high = bore.heights_m
    require_positive(length_m=high - low, across_m=bore.sides_m[0], deep_m=bore.sides_m[1])
    ring = unit_ring(0) * (bore.sides_m[0] / 2) if bore.is_round else rectangle(*bore.sides_m)
    return _loft([ring + bore.offset_m] * 2, np.array([low, high]))


def _storey(storey: Storey) -> Body:
    body = _body(storey, (0.0, 0.0))
    for ledge in storey.ledges:
        body = body + _band(storey, ledge)
    for pocket in storey.pockets:
        body = body - _pockets(storey, pocket)
    return body


def _body(storey: Storey, inset_m: tuple[float, float]) -> Body:
    """Draw the bare storey, its two extents smaller by twice an inset."""
    if storey.roof in (Roof.GABLE, Roof.HIP):
        return _ridged(storey)
    heights, widths = _profile(storey)
    rings = [_ring(storey, height, width, inset_m) for height, width in zip(heights, widths, strict=True)]
    return _loft(rings, heights)


def _profile(storey: Storey) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Heights, and widths over that at the foot."""
    if storey.roof is Roof.DOME:
        heights, widths = unit_dome()
        return storey.height_m * heights, widths
    steps = max(1, math.ceil(abs(storey.twist_rad) / _TWIST_STEP_RAD - 1e-9))
    shares = np.linspace(0.0, 1.0, steps + 1)
    heights = shares * storey.height_m
    heights[-1] = storey.height_m
    return heights, 1.0 + (storey.top - 1.0) * shares


def _ring(storey: Storey, height_m: float, width: float, inset_m: tuple[float, float]) -> NDArray[np.float64]:
    sides = storey.sides_m * width
    share = (sides - 2 * np.array(inset_m)) / storey.sides_m if width > 0.0 else np.zeros(2)
    if (share < 0.0).any():
        raise OutsideRange("a window deeper than its storey is wide")
    angle = storey.twist_rad * height_m / storey.height_m
    turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    return (_fine(storey) * share) @ turn


def _fine(storey: Storey) -> NDArray[np.float64]:
    """Return its outline; for a twist with corners along the sides, which else would be drawn hollow."""
    corners = storey.outline_m
    steps = math.ceil(_FINE_CORNERS / len(corners)) if storey.twist_rad else 1
    shares = np.arange(steps) / steps
    along = np.roll(corners, -1, axis=0) - corners
    return (corners[:, None, :] + shares[:, None] * along[:, None, :]).reshape(-1, 2)


def _band(storey: Storey, ledge: Ledge) -> Body:
    ends = np.array([ledge.from_m, ledge.from_m + ledge.height_m])
    widths = 1.0 + (storey.top - 1.0) * ends / storey.height_m
    out = (-ledge.out_m, -ledge.out_m)
    return _loft([_ring(storey, *one, out) for one in zip(ends, widths, strict=True)], ends)


def _pockets(storey: Storey, pocket: Pocket) -> Body:
    """Return what is taken out: holes to the axis, less the storey drawn in by their depth."""
    import manifold3d

    if pocket.count < 1:
        raise OutsideRange(f"{pocket.count} windows: 1 or more")
    require_positive(width_m=pocket.width_m)
    far = 2 * float(np.linalg.norm(storey.sides_m))
    drawn: Any = manifold3d.CrossSection([_opening(pocket)])
    hole = drawn.extrude(far)
    holes: list[Body] = []
    for number in range(pocket.count):
        roll = pocket.first_rad + math.tau * number / pocket.count
        across, outward = (-math.sin(roll), math.cos(roll), 0.0), (math.cos(roll), math.sin(roll), 0.0)
        place = np.column_stack([across, (0.0, 0.0, 1.0), outward, (0.0, 0.0, pocket.sill_m)])
        holes.append(hole.transform(place))
    cut: Any = manifold3d.Manifold.batch_boolean(holes, manifold3d.OpType.Add)
    return cut - _body(storey, (pocket.depth_m, pocket.depth_m))


def _opening(pocket: Pocket) -> NDArray[np.float64]:
    """Draw a window as seen from outside: across, and over its sill."""
    half = pocket.width_m / 2
    if not pocket.is_arched:
        return np.array([[-half, 0.0], [half, 0.0], [half, pocket.height_m], [-half, pocket.height_m]])
    spring = pocket.height_m - half
    if spring < 0.0:
        raise OutsideRange("an arched window is at least half as high as it is wide")
    angles = np.linspace(0.0, math.pi, _ARCH_STEPS + 1)
    arch = np.column_stack([half * np.cos(angles), spring + half * np.sin(angles)])
    return np.concatenate([[[-half, 0.0], [half, 0.0]], arch])


def _ridged(storey: Storey) -> Body:
    """Draw a roof to a ridge along the longer side: all of it for a gable, its middle for a hip."""
    import manifold3d

    long, short = float(storey.sides_m.max()), float(storey.sides_m.min())
    half = long / 2 if storey.roof is Roof.GABLE else (long - short) / 2
    along = np.eye(2)[int(storey.sides_m.argmax())] * half
    foot = np.column_stack([storey.outline_m, np.zeros(len(storey.outline_m))])
    ridge = np.column_stack([np.array([along, -along]), np.full(2, storey.height_m)])
    points = np.concatenate([foot, ridge])
    return manifold3d.Manifold.hull_points(points)  # pyright: ignore[reportUnknownMemberType] - open types


def _loft(rings: Sequence[NDArray[np.float64]], heights_m: NDArray[np.float64]) -> Body:
    """Draw a closed body through rings of as many corners each; a last ring without width is a point."""
    size = len(rings[0])
    pointed = not np.ptp(rings[-1], axis=0).any()
    whole = rings[:-1] if pointed else rings
    levels = [
        np.column_stack([ring, np.full(size, height)])
        for ring, height in zip(whole, heights_m[: len(whole)].tolist(), strict=True)
    ]
    last = (len(whole) - 1) * size
    faces = [_cap(rings[0])[:, ::-1], *(side_faces(low * size, size) for low in range(len(levels) - 1))]
    if pointed:
        levels.append(np.array([[*rings[-1][0], heights_m[-1]]]))
        here = np.arange(size)
        faces.append(np.column_stack([last + here, last + np.roll(here, -1), np.full(size, last + size)]))
    else:
        faces.append(_cap(rings[-1]) + last)
    return _closed(np.concatenate(levels), np.concatenate(faces))


def _cap(ring: NDArray[np.float64]) -> NDArray[np.int64]:
    import manifold3d

    library: Any = manifold3d
    try:
        return np.asarray(library.triangulate([ring]), dtype=np.int64)
    except RuntimeError as error:
        raise OutsideRange(f"an outline that encloses nothing: {error}") from error


def _closed(vertices_m: NDArray[np.float64], faces: NDArray[np.int64]) -> Body:
    import manifold3d

    made: Any = manifold3d.Manifold(
        manifold3d.Mesh64(np.ascontiguousarray(vertices_m), np.ascontiguousarray(faces, dtype=np.uint64))
    )
    if made.status() != manifold3d.Error.NoError or made.volume() <= 0.0:
        raise OutsideRange("an outline that crosses itself or goes round the wrong way makes no storey")
    return made
