"""Windows and other recesses in a side: the air bridges them, and their far edge stands in slow air."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.shape.planar import hull_of
from finial.shape.skin import Section, Skin

_BRIDGED, _ENTERED = 8.0, 13.0
"""Depths long up to which the air bridges a recess, and from which on it comes down to the floor: cavities
are open to 10 or so, and closed from 13 or so on (from memory of Charwat and others, 1961)."""
_DRAGS = (0.05, 0.3, 1.0)
"""Drag of an edge of a recess that the air bridges over that of a step that stands free. Open cavities four
to eight depths long have 0.01 to 0.04 on their plan, where the two steps make 0.1 to 0.2 of it (from memory
of Roshko, NACA TN 3488, and Hoerner, chapter 5); past a length that the boundary layer sets the drag is
abruptly large (Gharib and Roshko, J. Fluid Mech. 177, 1987, abstract seen): the high end is a step's."""
_SHALLOW, _NECK = 0.3, 0.5
"""Share of the section up to which a recess is one in a side, and from which on it is a neck: a judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """Where the section shrinks and where it grows again, both from and to [m]."""

    fore_m: tuple[float, float]
    aft_m: tuple[float, float]


def bridged_share(length_in_depths: float) -> float:
    """How far the air bridges a recess, by its length.

    Parameters
    ----------
    length_in_depths : float
        Length along the wind over the depth [-].

    Returns
    -------
    share : float
        1 up to 8 depths, 0 from 13 on [-].

    Notes
    -----
    Walls along the wind help to bridge it: as for a recess as wide as the body.

    References
    ----------
    .. [1] A. F. Charwat and others, J. Aerospace Sciences 28, 1961 (from memory); ESDU 00006 and 00007 tell
       open, transitional and closed cavities apart so (abstracts seen).

    Examples
    --------
    >>> bridged_share(5.0), bridged_share(10.5), bridged_share(20.0)
    (1.0, 0.5, 0.0)
    """
    return float(np.clip((_ENTERED - length_in_depths) / (_ENTERED - _BRIDGED), 0.0, 1.0))


def drag_shares(share: float) -> tuple[float, float, float]:
    """Drag of a recess's edge over that of a step that stands free.

    Parameters
    ----------
    share : float
        How far the air bridges it [-].

    Returns
    -------
    least, usual, most : float
        1 where nothing is bridged; 0.05, 0.3 and 1 where all is [-].

    Notes
    -----
    Never above 1: where the air beats in a long cavity its edges drag like steps.

    References
    ----------
    .. [1] A. Roshko, NACA TN 3488, 1955; S. F. Hoerner, Fluid-Dynamic Drag, 1965, chapter 5 (from memory).
    .. [2] M. Gharib, A. Roshko, J. Fluid Mech. 177, 1987 (abstract seen).

    Examples
    --------
    >>> drag_shares(0.0), [round(each, 3) for each in drag_shares(1.0)]
    ((1.0, 1.0, 1.0), [0.05, 0.3, 1.0])
    """
    least, usual, most = (1.0 - share * (1.0 - each) for each in _DRAGS)
    return least, usual, most


def bridged(skin: Skin, edges: Edges) -> tuple[float, float]:
    """How far the edges of a stretch of lesser sections are those of recesses that the air bridges.

    Parameters
    ----------
    skin : Skin
        Outer outlines [m].
    edges : Edges
        Where the section shrinks and grows again [m].

    Returns
    -------
    fore, aft : float
        Of what is lost there and of what comes back, the share that is [-].

    Notes
    -----
    In a recess the section loses area and its hull does not: a groove all round, an eave or a waist is none.
    Its depth is that of its deepest corner or middle of a side under the hull ahead.

    References
    ----------
    .. [1] As ``bridged_share``; the rest is a judgement.

    Examples
    --------
    A box with a notch of 10 mm in one side, 50 mm long.

    >>> from finial.aero.sections.outlines import section_of, skin_of
    >>> rest = [(0.05, 0.05), (-0.05, 0.05), (-0.05, -0.05), (0.05, -0.05)]
    >>> notch = [(0.05, -0.02), (0.04, -0.02), (0.04, 0.02), (0.05, 0.02)]
    >>> box, cut = np.array(rest), np.array([*notch, *rest])
    >>> rows = [(0.0, box), (0.1, box), (0.1, cut), (0.15, cut), (0.15, box), (0.3, box)]
    >>> skin = skin_of([section_of(station, [outline]) for station, outline in rows])
    >>> [round(share, 3) for share in bridged(skin, Edges(fore_m=(0.1, 0.1), aft_m=(0.15, 0.15)))]
    [1.0, 1.0]
    """
    stations, areas = skin.stations_m, skin.areas_m2
    between = np.flatnonzero((stations >= edges.fore_m[0] - 1e-9) & (stations <= edges.aft_m[1] + 1e-9))
    if len(between) < 3:
        return 0.0, 0.0
    least = int(between[np.argmin(areas[between])])
    first, last = int(between[0]), int(between[-1])
    lost = (areas[first] - areas[least]) / max(areas[first], 1e-12)
    shallow = float(np.clip((_NECK - lost) / (_NECK - _SHALLOW), 0.0, 1.0))
    if not lost > 0.0 or not shallow > 0.0:
        return 0.0, 0.0
    hull, within = (hull_of(skin.sections[place].loops) for place in (first, least))
    depth = _depth(hull, skin.sections[least])
    length = (sum(edges.aft_m) - sum(edges.fore_m)) / 2
    share = shallow * bridged_share(length / max(depth, 1e-9))
    if not share > 0.0:
        return 0.0, 0.0
    fore, aft = (
        1.0 - (around.area - within.area) / max(area - areas[least], 1e-12)
        for around, area in ((hull, areas[first]), (hull_of(skin.sections[last].loops), areas[last]))
    )
    low, high = np.clip([fore, aft], 0.0, 1.0)
    return share * float(low), share * float(high)


def _depth(hull: Any, section: Section) -> float:
    """How far the deepest corner or middle of a side lies under a hull [m]."""
    import shapely

    places = [each for loop in section.loops for each in (loop, (loop + np.roll(loop, -1, axis=0)) / 2)]
    points: Any = shapely.points(np.concatenate(places))
    inside: NDArray[np.object_] = points[shapely.contains(hull, points)]
    under = shapely.distance(inside, hull.exterior)  # pyright: ignore[reportUnknownMemberType] - keywords
    return float(under.max(initial=0.0))
