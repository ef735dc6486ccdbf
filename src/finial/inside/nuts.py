"""Nuts, washers and eyes: small solids that stand on something else, beside its face."""

import math
from dataclasses import replace

import numpy as np

from finial.core.doors import require_positive
from finial.core.estimates import KnownBy
from finial.inside.things import Kind, Thing, moved_along
from finial.inside.usual import Nut


def nut_on_washer(seat: Thing, outward: float, nut: Nut, washer_m: float | None) -> tuple[Thing, ...]:
    r"""Stack a washer, where there is one, and a nut on a face, along the axis of what they stand on.

    .. math::  s_{washer} = s \pm t / 2, \qquad s_{nut} = s \pm (t + h / 2)

    with :math:`t` the washer's thickness, 0 without one, and :math:`h` the nut's height.

    Parameters
    ----------
    seat : Thing
        Whose middle is the face that they press on, and whose axis they stand along; its name, set and
        tolerances are theirs.
    outward : float
        1 where they stand aft of the face, -1 where they stand ahead of it [-].
    nut : Nut
        Sizes of the nut, and how thick its washer is [m].
    washer_m : float or None
        Outer diameter of the washer [m]; ``None`` for a bare nut.

    Returns
    -------
    things : tuple of Thing
        The nut, and the washer under it.

    Notes
    -----
    The nut is the circle that it turns in; how far its bolt reaches past it is left out.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> from finial.inside.usual import usual_nut
    >>> face = Thing(name="stud", kind=Kind.NUT, middle_m=0.3, length_m=0.001, across_m=0.006)
    >>> nut, washer = nut_on_washer(face, 1.0, usual_nut("M6"), 0.018)
    >>> [round(end, 4) for end in (*washer.span_m, *nut.span_m)]
    [0.3, 0.3018, 0.3018, 0.307]
    """
    under = nut.washer_thickness_m if washer_m else 0.0
    same = replace(seat, kind=Kind.NUT, known_by=KnownBy.HANDBOOK, depth_m=0.0, bore_m=0.0)
    top = replace(
        moved_along(same, outward * (under + nut.height_m / 2)),
        name=f"nuts of {seat.name}",
        length_m=nut.height_m,
        across_m=nut.across_m,
    )
    if washer_m is None:
        return (top,)
    washer = replace(
        moved_along(same, outward * under / 2),
        name=f"washers of {seat.name}",
        length_m=under,
        across_m=washer_m,
    )
    return top, washer


def eye_ring(plate: Thing, outward: float, across_m: float, wire_m: float) -> Thing:
    r"""Eye of a bolt, or the bow of a U-bolt, that stands on a face of a plate.

    .. math::  s = s_{plate} \pm (l + d) / 2

    with :math:`l` the plate's thickness and :math:`d` the outer diameter of the eye.

    Parameters
    ----------
    plate : Thing
        What the eye stands on; the eye lies in the plane of its axis and of ``roll_rad``.
    outward : float
        1 where the eye stands aft of the plate, -1 where it stands ahead of it [-].
    across_m : float
        Outer diameter [m].
    wire_m : float
        Diameter of the wire that it is bent or forged of [m].

    Returns
    -------
    ring : Thing
        A disc across the plate's axis, its hole counted as full.

    Raises
    ------
    OutsideRange
        If a size is not above zero.

    Notes
    -----
    Holds for an eye as high as wide; a long one is longer, and a collar under it is left out.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> floor = Thing(name="floor", kind=Kind.BULKHEAD, middle_m=0.5, length_m=0.01, across_m=0.08)
    >>> ring = eye_ring(floor, -1.0, 0.03, 0.006)
    >>> [round(end, 4) for end in ring.span_m]
    [0.465, 0.495]
    """
    require_positive(across_m=across_m, wire_m=wire_m)
    upright = np.array([0.0, math.cos(plate.roll_rad), math.sin(plate.roll_rad)])
    square = np.cross(plate.forward, upright)
    square /= np.linalg.norm(square)
    square = square if square[0] >= 0.0 else -square
    return replace(
        moved_along(plate, outward * (plate.length_m + across_m) / 2),
        kind=Kind.EYE,
        length_m=wire_m,
        across_m=across_m,
        depth_m=0.0,
        bore_m=0.0,
        tilt_rad=math.acos(min(float(square[0]), 1.0)),
        toward_rad=math.atan2(float(square[2]), float(square[1])),
        known_by=KnownBy.HANDBOOK,
        pressed_in_m=0.0,
    )


def leg_offsets_m(plate: Thing, legs: int, apart_m: float) -> tuple[tuple[float, float], ...]:
    """Where the legs of an eye go through its plate, off the vehicle's axis.

    Parameters
    ----------
    plate : Thing
        What the eye stands on.
    legs : int
        One, or two beside one another along ``roll_rad``.
    apart_m : float
        From leg to leg [m].

    Returns
    -------
    offsets_m : tuple of tuple of float
        (y, z) of each [m].

    Notes
    -----
    Exact for plates across the axis; of one that leans the legs are as far apart across the axis.

    References
    ----------
    .. [1] Plain geometry.

    Examples
    --------
    >>> floor = Thing(name="floor", kind=Kind.BULKHEAD, middle_m=0.5, length_m=0.01, across_m=0.08)
    >>> leg_offsets_m(floor, 2, 0.03)
    ((-0.015, 0.0), (0.015, 0.0))
    """
    y, z = plate.offset_m
    aside = [0.0] if legs == 1 else [-apart_m / 2, apart_m / 2]
    return tuple((y + off * math.cos(plate.roll_rad), z + off * math.sin(plate.roll_rad)) for off in aside)
