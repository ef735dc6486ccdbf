"""What closes the end of a room: bulkheads, floors and the print itself, seen along the axis."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from finial.core.doors import require_positive
from finial.inside.cavity import Cavity, regions_of
from finial.inside.things import Thing

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry


def open_share(
    room: Thing, closers: Sequence[Thing], cavity: Cavity, station_m: float, within_m: float
) -> float:
    r"""Share of a room's cross-section that nothing closes near one of its ends.

    .. math::  \phi = \frac{1}{A(R)} A\Big( R \setminus \bigcup_{|s - s_0| \le w}
               \big( \bigcup_p P_p(s) \cup \bigcup_c C_c(s) \big) \Big)

    with :math:`R` the room's section, :math:`P` the print and :math:`C` the things that close.

    Parameters
    ----------
    room : Thing
        The room; it stands along the axis or leans little.
    closers : sequence of Thing
        What may close it.
    cavity : Cavity
        Skin, print and free room.
    station_m : float
        Station of the end [m].
    within_m : float
        How far from the end, to either side, something still closes it [m], above zero.

    Returns
    -------
    share : float
        Between 0 (closed) and 1 (open) [-].

    Raises
    ------
    OutsideRange
        If ``within_m`` is not above zero.

    Notes
    -----
    Seen along the axis: what gas could leak past between two plates that together cover the end is
    not counted. Beyond the vehicle's ends there is nothing.

    References
    ----------
    .. [1] Projection along an axis and set operations on plane regions; plain geometry.

    Examples
    --------
    >>> from finial.inside.cavity import Printed, cavity_of
    >>> from finial.inside.things import Kind
    >>> from finial.shape.repair import repaired
    >>> from finial.shape.sections import slice_skin
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> hole = Thing(name="hole", kind=Kind.OTHER, middle_m=0.5, length_m=0.6, across_m=0.06)
    >>> part = Printed(name="post", mended=repaired(post), outside=True, bores=(hole,))
    >>> inside = cavity_of([part], slice_skin([post]))
    >>> bay = Thing(name="bay", kind=Kind.BAY, middle_m=0.4, length_m=0.4, across_m=0.06)
    >>> round(open_share(bay, [], inside, 0.2, 0.02), 2), round(open_share(bay, [], inside, 0.6, 0.02), 2)
    (0.0, 1.0)
    >>> floor = Thing(name="floor", kind=Kind.BULKHEAD, middle_m=0.604, length_m=0.008, across_m=0.06)
    >>> round(open_share(bay, [floor], inside, 0.6, 0.02), 2)
    0.0
    """
    import shapely

    require_positive(within_m=within_m)
    at = cavity.stations_m
    near = np.flatnonzero((at >= station_m - within_m) & (at <= station_m + within_m))
    middle = (room.offset_m[0], room.offset_m[1])
    section: BaseGeometry = shapely.buffer(shapely.Point(middle), room.across_m / 2, quad_segs=24)
    covers = [shapely.union_all(cavity.printed[:, near])] if len(near) else []
    covers += [
        regions_of(closer, np.array([closer.middle_m]))[0]
        for closer in closers
        if is_near(closer, station_m, within_m)
    ]
    left = shapely.difference(section, shapely.union_all(covers)) if covers else section
    return float(left.area / section.area)


def is_near(thing: Thing, station_m: float, within_m: float) -> bool:
    """Tell whether some of a thing stands within a distance of a station.

    Parameters
    ----------
    thing : Thing
        The thing.
    station_m : float
        The station [m].
    within_m : float
        How far it may stand from it, to either side [m].

    Returns
    -------
    near : bool

    Raises
    ------
    OutsideRange
        If the distance is not above zero.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.inside.things import Kind
    >>> floor = Thing(name="floor", kind=Kind.BULKHEAD, middle_m=0.604, length_m=0.008, across_m=0.06)
    >>> is_near(floor, 0.59, 0.02), is_near(floor, 0.5, 0.02)
    (True, False)
    """
    require_positive(within_m=within_m)
    fore, aft = thing.span_m
    return fore <= station_m + within_m and aft >= station_m - within_m


def lean_of_play(play_m: float, held_m: float) -> float:
    r"""Angle at which something leans that stands loose in its tube.

    .. math::  \theta = \arctan(p / l)

    Parameters
    ----------
    play_m : float
        How much wider the tube is than what stands in it [m].
    held_m : float
        Length over which the tube holds it [m], above zero.

    Returns
    -------
    lean_rad : float
        Largest angle to the tube's axis [rad].

    Raises
    ------
    OutsideRange
        If the length is not above zero.

    Notes
    -----
    Holds for any play; one that is pressed in (negative play) does not lean.

    References
    ----------
    .. [1] Plane geometry: opposite edges touch.

    Examples
    --------
    >>> round(math.degrees(lean_of_play(0.002, 0.4)), 2)
    0.29
    """
    require_positive(held_m=held_m)
    return math.atan2(max(play_m, 0.0), held_m)
