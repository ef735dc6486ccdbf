"""Axes: mesh to body, body to earth, compass bearings.

Body frame: origin at the tip, ``x`` forward along the axis, ``y`` and ``z`` across,
right-handed. Station = distance aft of the tip = ``-x``. Roll angle of the wind:
the direction the cross wind blows **towards**, from body ``y`` towards body ``z``.
Earth frame: east, north, up. Quaternions are scalar first and turn body into earth.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange

_BODY_ROWS = {
    "+x": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "+y": ((0, 1, 0), (0, 0, 1), (1, 0, 0)),
    "+z": ((0, 0, 1), (1, 0, 0), (0, 1, 0)),
    "-x": ((-1, 0, 0), (0, 1, 0), (0, 0, -1)),
    "-y": ((0, -1, 0), (0, 0, 1), (-1, 0, 0)),
    "-z": ((0, 0, -1), (1, 0, 0), (0, -1, 0)),
}

UP_AXES = tuple(_BODY_ROWS)
"""What ``up`` may say in a build sheet."""


def evenly_round(count: int, first_rad: float = 0.0) -> tuple[float, ...]:
    """Roll angles of so many things evenly round the axis [rad]; the last ones may lie beyond one turn.

    Examples
    --------
    >>> [round(angle / math.pi, 12) for angle in evenly_round(4)]
    [0.0, 0.5, 1.0, 1.5]
    """
    return tuple(first_rad + 2 * math.pi * number / count for number in range(count))


def body_from_mesh(up: str) -> NDArray[np.float64]:
    """Rotation that turns mesh axes into body axes, shape (3, 3).

    With ``up = "+z"`` body ``y`` is mesh ``x`` and body ``z`` is mesh ``y``, so roll
    angles run from mesh ``+x`` towards mesh ``+y``.

    Raises
    ------
    OutsideRange
        If ``up`` is not one of the six signed axes.

    Examples
    --------
    >>> (body_from_mesh("+z") @ [1.0, 2.0, 3.0]).tolist()
    [3.0, 1.0, 2.0]
    """
    if up not in _BODY_ROWS:
        raise OutsideRange(f"up = {up!r}: write one of {', '.join(UP_AXES)}")
    return np.array(_BODY_ROWS[up], dtype=float)


def east_north_from_bearing(bearing_rad: float) -> tuple[float, float]:
    """Return the unit vector (east, north) along a compass bearing [rad].

    Examples
    --------
    >>> [round(part, 12) for part in east_north_from_bearing(math.pi / 2)]
    [1.0, 0.0]
    """
    return math.sin(bearing_rad), math.cos(bearing_rad)


def rotation_from_quaternion(quaternion: ArrayLike) -> NDArray[np.float64]:
    """Rotation matrix, body to earth, of a scalar-first unit quaternion, shape (3, 3).

    Examples
    --------
    >>> rotation_from_quaternion([1.0, 0.0, 0.0, 0.0]).tolist()
    [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
    """
    w, x, y, z = np.asarray(quaternion, dtype=float)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
        ]
    )
