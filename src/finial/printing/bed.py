"""Whether a part fits the printer's bed, and in how many pieces it must be cut where it does not."""

import math
from collections.abc import Iterator

from finial.core.doors import require_positive

_SLACK = 1e-6
"""Share of a side that is not worth a cut: meshes are rounded."""


def pieces_on_bed(
    size_m: tuple[float, float, float], bed_m: tuple[float, float, float], upright: int | None = None
) -> int:
    r"""Pieces that a part is cut into at least so that each fits the bed, standing square on it.

    .. math::  n = \min_{orientations} \left\lceil \frac{a}{A} \right\rceil
               \left\lceil \frac{b}{B} \right\rceil \left\lceil \frac{c}{C} \right\rceil

    Parameters
    ----------
    size_m : tuple of float
        Sides :math:`a, b, c` of the part's bounding box along its own axes [m].
    bed_m : tuple of float
        Two sides :math:`A, B` of the bed and the height :math:`C` above it [m].
    upright : int, optional
        Which of the part's axes stands upright: that its layers are stacked along. Any without it.

    Returns
    -------
    int
        Pieces [-]; 1 where the part fits whole.

    Raises
    ------
    OutsideRange
        If a side is not positive.

    Notes
    -----
    Holds for bodies that fill their bounding box, cut across its axes; a part that is turned askew, or that
    leaves corners of its box empty, may do with fewer. Room for brims and clips is not taken off the bed.

    References
    ----------
    .. [1] Counting.

    Examples
    --------
    >>> pieces_on_bed((0.15, 0.15, 0.6), (0.256, 0.256, 0.256))
    3
    >>> pieces_on_bed((0.3, 0.1, 0.1), (0.2, 0.2, 0.35))
    1
    """
    require_positive(**{f"size_m_{index}": side for index, side in enumerate(size_m)})
    require_positive(**{f"bed_m_{index}": side for index, side in enumerate(bed_m)})
    return min(
        math.prod(math.ceil(side / room - _SLACK) for side, room in zip(turned, bed_m, strict=True))
        for turned in _turns(size_m, upright)
    )


def _turns(size_m: tuple[float, float, float], upright: int | None) -> Iterator[tuple[float, float, float]]:
    """Give the sides in every order that puts the upright axis last."""
    for last in range(3) if upright is None else (upright,):
        first, second = (size_m[axis] for axis in range(3) if axis != last)
        yield first, second, size_m[last]
        yield second, first, size_m[last]
