"""Union, difference and overlap of plane shapes that always come out.

At full precision, or on a grid of a tenth of a micrometre where outlines nearly coincide or cross
themselves, and the library gives up.
"""

from collections.abc import Callable, Iterable
from functools import reduce
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from finial.shape.bridges import SAME_POINT_M


def united(shapes: Iterable[Any]) -> Any:
    """Union of any number of shapes.

    Parameters
    ----------
    shapes : iterable of shapely geometry
        Any number, also none [m].

    Returns
    -------
    union : shapely geometry
        Empty for none [m].

    Notes
    -----
    Exact but for the grid.

    References
    ----------
    .. [1] Definition: union of plane sets.

    Examples
    --------
    >>> import shapely
    >>> round(united([shapely.box(0, 0, 1, 1), shapely.box(0.5, 0, 1.5, 1)]).area, 3)
    1.5
    """
    import shapely

    every = np.array(list(shapes), dtype=object)
    try:
        return shapely.union_all(every)
    except shapely.errors.GEOSException:
        return shapely.union_all(_sound(every), grid_size=SAME_POINT_M)


def less(one: Any, other: Any) -> Any:
    """Return what one shape has and the other has not.

    Parameters
    ----------
    one, other : shapely geometry
        The shapes [m].

    Returns
    -------
    rest : shapely geometry
        The difference [m].

    Notes
    -----
    Exact but for the grid.

    References
    ----------
    .. [1] Definition: difference of plane sets.

    Examples
    --------
    >>> import shapely
    >>> round(less(shapely.box(0, 0, 1, 1), shapely.box(0.5, 0, 1.5, 1)).area, 3)
    0.5
    """
    import shapely

    return _tried(shapely.difference, one, other)


def overlap(one: Any, other: Any) -> Any:
    """Return what both shapes have.

    Parameters
    ----------
    one, other : shapely geometry
        The shapes [m].

    Returns
    -------
    both : shapely geometry
        The intersection [m].

    Notes
    -----
    Exact but for the grid.

    References
    ----------
    .. [1] Definition: intersection of plane sets.

    Examples
    --------
    >>> import shapely
    >>> round(overlap(shapely.box(0, 0, 1, 1), shapely.box(0.7, 0, 1.5, 1)).area, 3)
    0.3
    """
    import shapely

    return _tried(shapely.intersection, one, other)


def even_odd(loops: Iterable[NDArray[np.float64]]) -> Any:
    """Region that lies inside an odd number of loops.

    Parameters
    ----------
    loops : iterable of ndarray, shape (n, 2)
        Closed outlines, in either sense of turning, the first point not repeated [m].

    Returns
    -------
    region : shapely geometry
        Empty without a loop of three points [m].

    Notes
    -----
    Exact, also for loops that cross themselves.

    References
    ----------
    .. [1] Definition: the even-odd rule.

    Examples
    --------
    >>> outer, inner = (np.array([[0, 0], [side, 0], [side, side], [0, side]]) for side in (2.0, 1.0))
    >>> even_odd([outer, inner]).area
    3.0
    >>> even_odd([np.array([[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]])]).area
    0.5
    """
    import shapely

    return reduce(unlike, (_lobes(loop) for loop in loops if len(loop) >= 3), shapely.Polygon())


def hull_of(loops: Iterable[NDArray[np.float64]]) -> Any:
    """Return the convex hull of the corners of outlines.

    Parameters
    ----------
    loops : iterable of ndarray, shape (n, 2)
        Closed outlines, the last corner not repeated [m].

    Returns
    -------
    shape
        A polygon; a line or a point where they enclose nothing [m].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> hull_of([np.array([[0.0, 0.0], [1.0, 0.0], [0.1, 0.1], [0.0, 1.0]])]).area
    0.5
    """
    import shapely

    return shapely.MultiPoint(np.concatenate(list(loops))).convex_hull


def _lobes(loop: NDArray[np.float64]) -> Any:
    """Inside of one loop; where it crosses itself, by the even-odd rule too."""
    import shapely

    ring = shapely.Polygon(loop)
    if ring.is_valid:
        return ring
    # Where a loop touches itself lines may be left over, which enclose nothing.
    parts = shapely.get_parts(shapely.get_parts([sound(ring)]))
    return shapely.union_all([part for part in parts if isinstance(part, shapely.Polygon)])


def unlike(one: Any, other: Any) -> Any:
    """Return what only one of the shapes has.

    Parameters
    ----------
    one, other : shapely geometry
        The shapes [m].

    Returns
    -------
    rest : shapely geometry
        The symmetric difference [m].

    Notes
    -----
    Exact but for the grid.

    References
    ----------
    .. [1] Definition: symmetric difference of plane sets.

    Examples
    --------
    >>> import shapely
    >>> round(unlike(shapely.box(0, 0, 1, 1), shapely.box(0.5, 0, 1.5, 1)).area, 3)
    1.0
    """
    import shapely

    return _tried(shapely.symmetric_difference, one, other)


def grown(shape: Any, by_m: float) -> Any:
    """Return a shape grown all round, or eroded, with sharp corners.

    Parameters
    ----------
    shape : shapely geometry
        Any shape [m].
    by_m : float
        How far; below zero it is eroded [m].

    Returns
    -------
    grown : shapely geometry
        The grown shape [m].

    Notes
    -----
    Exact; corners sharper than the library's limit are cut.

    References
    ----------
    .. [1] J. Serra, Image Analysis and Mathematical Morphology, 1982 (from memory): dilation and erosion.

    Examples
    --------
    >>> import shapely
    >>> round(grown(shapely.box(0, 0, 1, 1), 0.5).area, 3)
    4.0
    """
    # Edges without length divide zero by zero inside the library, which then leaves them out.
    with np.errstate(invalid="ignore", divide="ignore"):
        return shape.buffer(by_m, join_style="mitre")


def sound(shape: Any) -> Any:
    """Return a shape whose edges do not cross.

    Parameters
    ----------
    shape : shapely geometry
        Any shape [m].

    Returns
    -------
    valid : shapely geometry
        The same points, its edges split where they crossed [m].

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] OGC 06-103r4, Simple feature access, section 6.1.11 (from memory): valid polygons.

    Examples
    --------
    >>> import shapely
    >>> sound(shapely.Polygon([(0, 0), (1, 1), (1, 0), (0, 1)])).area
    0.5
    """
    import shapely

    return cast("Any", shapely.make_valid(shape))


def _tried(operation: Callable[..., Any], one: Any, other: Any) -> Any:
    import shapely

    try:
        return operation(one, other)
    except shapely.errors.GEOSException:
        first, second = _sound([one, other])
        return operation(first, second, grid_size=SAME_POINT_M)


def _sound(shapes: Any) -> Any:
    import shapely

    return shapely.make_valid(np.array(list(shapes), dtype=object), method="structure", keep_collapsed=False)
