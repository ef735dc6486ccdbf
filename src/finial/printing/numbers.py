# pyright: reportUnknownMemberType=false, reportUnknownVariableType=false, reportUnknownArgumentType=false
# The types of shapely's functions leave their keywords, and what comes out of them, open.
"""The number of a piece, sunk into a face that ends up inside the vehicle."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.printing.frames import Plane, Region, extruded, region_at
from finial.shape.united import Body

DEPTH_M = 0.6e-3
"""How deep a number is sunk: three layers of 0.2 mm [m]; chosen."""
_HEIGHTS_M = (10e-3, 7e-3, 5e-3)
_STROKE = 0.16
"""Width of a stroke over the height of a digit [-]."""
_WIDE = 0.6
_GAP = 0.35
_MARGIN_M = 0.8e-3
_NOTCH_M = 0.8e-3
"""Width of a notch, and the gap to the next: two lines of a usual nozzle [m]; chosen."""
_LONG_M = 2.4e-3
"""Length of a notch that counts ten [m]; one that counts one is as long as wide."""
_NOTCH_MARGIN_M = 0.35e-3
_TRIES = 40
_TURNS = 8
_INSET_M = 30e-6
_BESIDE_RIM_M = 1e-6
_ALONG = 1e-4
"""A step along a rim that tells its direction, over its length [-]."""

# Strokes of a seven-stroke digit, as ends in units of half a digit: x of 0 or 1, y of 0, 1 or 2.
_STROKES = {
    "top": ((0, 2), (1, 2)),
    "middle": ((0, 1), (1, 1)),
    "bottom": ((0, 0), (1, 0)),
    "upper left": ((0, 1), (0, 2)),
    "upper right": ((1, 1), (1, 2)),
    "lower left": ((0, 0), (0, 1)),
    "lower right": ((1, 0), (1, 1)),
}
_LEFT_OUT = {
    0: ("middle",),
    1: ("top", "middle", "bottom", "upper left", "lower left"),
    2: ("upper left", "lower right"),
    3: ("upper left", "lower left"),
    4: ("top", "bottom", "lower left"),
    5: ("upper right", "lower left"),
    6: ("upper right",),
    7: ("middle", "bottom", "upper left", "lower left"),
    8: (),
    9: ("lower left",),
}


class Marking(StrEnum):
    """How a number stands in a piece."""

    DIGITS = "digits"
    NOTCHES = "notches"


@dataclass(frozen=True, slots=True, kw_only=True)
class SunkNumber:
    """Where a number is sunk."""

    plane: Plane
    """The face; its normal points out of the piece."""
    middle_m: tuple[float, float]
    """In the frame of the plane [m]."""
    height_m: float
    """Height of its digits, or width of its notches [m]."""
    turned_rad: float
    mark: Marking = Marking.DIGITS


def digits(number: int, height_m: float) -> Region:
    """Strokes of a number about its middle, with a line under 6 and 9 by themselves, so that none is turned.

    Parameters
    ----------
    number : int
        0 or more.
    height_m : float
        Height of its digits [m].

    Returns
    -------
    region : shapely geometry
        The strokes [m].

    Notes
    -----
    Digits of seven straight strokes.

    References
    ----------
    .. [1] No source: a drawing.

    Examples
    --------
    >>> left, low, right, high = digits(8, 0.01).bounds
    >>> round(right - left, 6), round(high - low, 6)
    (0.006, 0.01)
    """
    import shapely
    import shapely.affinity

    stroke = _STROKE * height_m
    wide, tall = _WIDE * height_m - stroke, (height_m - stroke) / 2
    lines = [
        shapely.LineString([(x + at * (_WIDE + _GAP) * height_m, y) for x, y in ends])
        for at, digit in enumerate(str(number))
        for ends in _ends(int(digit), wide, tall)
    ]
    if set(str(number)) <= {"6", "8", "9", "0"} and set(str(number)) & {"6", "9"}:
        across = len(str(number)) * (_WIDE + _GAP) * height_m - _GAP * height_m - stroke
        lines.append(shapely.LineString([(0.0, -2.2 * stroke), (across, -2.2 * stroke)]))
    drawn: Any = shapely.union_all([shapely.buffer(line, stroke / 2, cap_style="square") for line in lines])
    left, low, right, high = drawn.bounds
    return shapely.affinity.translate(drawn, -(left + right) / 2, -(low + high) / 2)


def notches(number: int) -> Region:
    """Notches in a row about their middle: a long one for each ten, then a short one for each one.

    Parameters
    ----------
    number : int
        1 or more.

    Returns
    -------
    region : shapely geometry
        The notches [m].

    Raises
    ------
    OutsideRange
        For a number below 1, which has no notch.

    Notes
    -----
    Short notches are 0.8 mm square, long ones 2.4 mm long, 0.8 mm apart.

    References
    ----------
    .. [1] No source: a tally.

    Examples
    --------
    >>> left, low, right, high = notches(12).bounds
    >>> round(1e3 * (right - left), 6), round(1e3 * (high - low), 6)
    (5.6, 0.8)
    """
    import shapely
    import shapely.affinity

    if number < 1:
        raise OutsideRange(f"no notches stand for {number}: numbers from 1 up")
    tens, ones = divmod(number, 10)
    boxes: list[Any] = []
    at = 0.0
    for length in [_LONG_M] * tens + [_NOTCH_M] * ones:
        boxes.append(shapely.box(at, -_NOTCH_M / 2, at + length, _NOTCH_M / 2))
        at += length + _NOTCH_M
    return shapely.affinity.translate(shapely.union_all(boxes), -(at - _NOTCH_M) / 2, 0.0)


def _ends(digit: int, wide: float, tall: float) -> Iterator[list[tuple[float, float]]]:
    for name, ends in _STROKES.items():
        if name not in _LEFT_OUT[digit]:
            yield [(x * wide, y * tall) for x, y in ends]


def place_for(solid: Body, plane: Plane, number: int, wall_m: float) -> SunkNumber | None:
    """Place on a flat face where a number finds room with plastic behind it.

    Parameters
    ----------
    solid : manifold3d.Manifold
        The piece in body axes [m].
    plane : Plane
        The face; its normal points out of the piece.
    number : int
        What is to be sunk.
    wall_m : float
        Plastic that must stand behind it [m].

    Returns
    -------
    mark : SunkNumber or None
        The largest digits that find room, or notches where none do; ``None`` where neither does.

    Raises
    ------
    OutsideRange
        For a number below 1: no notches stand for it.

    Notes
    -----
    Tried on a grid of a fortieth of the face, eight ways round, in three sizes; notches along the walls.

    References
    ----------
    .. [1] No source: a search.

    Examples
    --------
    >>> import manifold3d
    >>> from finial.printing.frames import across_body
    >>> post = manifold3d.Manifold.cube((0.1, 0.1, 0.1)).translate((-0.1, 0.0, 0.0))
    >>> place_for(post, across_body(0.0), 12, 0.001).height_m
    0.01
    """
    import shapely

    flat = plane.flat(solid)
    room: Any = shapely.intersection(
        region_at(flat, -_INSET_M), region_at(flat, -(DEPTH_M + max(wall_m, DEPTH_M)))
    )
    if shapely.is_empty(room):
        return None
    tried = [(Marking.DIGITS, height, digits(number, height), _MARGIN_M) for height in _HEIGHTS_M]
    tried.append((Marking.NOTCHES, _NOTCH_M, notches(number), _NOTCH_MARGIN_M))
    for mark, height, drawn, margin in tried:
        found = _room_for(shapely.buffer(room, -margin), drawn, mark)
        if found is not None:
            middle, turned = found
            return SunkNumber(plane=plane, middle_m=middle, height_m=height, turned_rad=turned, mark=mark)
    return None


def _room_for(room: Region, drawn: Region, mark: Marking) -> tuple[tuple[float, float], float] | None:
    import shapely

    if shapely.is_empty(room):
        return None
    shapely.prepare(room)
    if mark is Marking.DIGITS:
        return _first_room(room, _middles(room), drawn)
    return _room_along(room, drawn)


def _middles(room: Region) -> NDArray[np.float64]:
    import shapely

    left, low, right, high = room.bounds
    x, y = np.meshgrid(np.linspace(left, right, _TRIES), np.linspace(low, high, _TRIES))
    points = np.column_stack([x.ravel(), y.ravel()])
    return points[shapely.intersects_xy(room, points[:, 0], points[:, 1])]


def _room_along(room: Region, drawn: Region) -> tuple[tuple[float, float], float] | None:
    """Try places half a notch inside the rims, along them: a grid would miss walls as thin as its step."""
    import shapely

    inside: Any = shapely.buffer(room, -_NOTCH_M / 2 - _BESIDE_RIM_M)
    rims: Any = shapely.boundary(inside)
    if shapely.is_empty(rims):
        return None
    shares = np.linspace(0.0, 1.0, _TRIES * _TURNS, endpoint=False)
    ends = [
        shapely.get_coordinates(shapely.line_interpolate_point(rims, shares + step, normalized=True))
        for step in (0.0, _ALONG)
    ]
    x, y = (ends[1] - ends[0]).T
    angles = np.arctan2(y, x)
    turn = np.stack([np.cos(angles), -np.sin(angles), np.sin(angles), np.cos(angles)], axis=1)
    corners = np.asarray(shapely.box(*drawn.bounds).exterior.coords)
    placed = ends[0][:, None, :] + np.einsum("nij,kj->nki", turn.reshape(-1, 2, 2), corners)
    fits = shapely.covers(room, shapely.polygons(placed))
    if not fits.any():
        return None
    first = int(fits.argmax())
    return (float(ends[0][first, 0]), float(ends[0][first, 1])), float(angles[first])


def _first_room(
    room: Region, middles: NDArray[np.float64], drawn: Region
) -> tuple[tuple[float, float], float] | None:
    import shapely
    import shapely.affinity

    box: Any = shapely.box(*drawn.bounds)
    for turn in range(_TURNS):
        angle = turn * np.pi / _TURNS
        corners = np.asarray(
            shapely.affinity.rotate(box, angle, (0.0, 0.0), use_radians=True).exterior.coords
        )
        boxes = shapely.polygons(middles[:, None, :] + corners[None, :, :])
        fits = shapely.covers(room, boxes)
        if fits.any():
            x, y = middles[int(fits.argmax())]
            return (float(x), float(y)), float(angle)
    return None


def sunk(solid: Body, mark: SunkNumber, number: int) -> Body:
    """Return the piece with its number sunk into a face.

    Parameters
    ----------
    solid : manifold3d.Manifold
        The piece in body axes [m].
    mark : SunkNumber
        Where the number goes.
    number : int
        What is sunk.

    Returns
    -------
    marked : manifold3d.Manifold
        The piece with the number in it [m].

    Raises
    ------
    OutsideRange
        For a number below 1: no notches stand for it.

    Notes
    -----
    Seen from outside the face the number reads right, notches from their long ones on.

    References
    ----------
    .. [1] Set difference of closed polyhedra; the library is manifold3d.

    Examples
    --------
    >>> import manifold3d
    >>> from finial.printing.frames import across_body
    >>> post = manifold3d.Manifold.cube((0.1, 0.1, 0.1)).translate((-0.1, 0.0, 0.0))
    >>> mark = place_for(post, across_body(0.0), 1, 0.001)
    >>> 0.0 < post.volume() - sunk(post, mark, 1).volume() < 1e-7
    True
    """
    import shapely.affinity

    upright = digits(number, mark.height_m) if mark.mark is Marking.DIGITS else notches(number)
    drawn = shapely.affinity.rotate(upright, mark.turned_rad, (0.0, 0.0), use_radians=True)
    placed = shapely.affinity.translate(drawn, *mark.middle_m)
    return solid - mark.plane.back(extruded(placed, -DEPTH_M, DEPTH_M))
