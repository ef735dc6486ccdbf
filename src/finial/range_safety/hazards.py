"""How often flights come down on what lies round the field, and how far they fall without a canopy."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.assemble.spread.case import FlightCase
from finial.assemble.vehicle.field import MarkOnField
from finial.campaign.campaign import Campaign, fly_range, planned
from finial.campaign.spot import REACH_M
from finial.core.errors import OutsideRange
from finial.core.statistics import failure_probability_interval
from finial.files.geojson import MarkKind
from finial.flight.kernel.layout import LANDED
from finial.flight.many import ManyFlights
from finial.flight.uncertain import Drawn

CONFIDENCE = 0.95
REACHES_M = {
    MarkKind.PEOPLE: REACH_M,
    MarkKind.BUILDING: REACH_M,
    MarkKind.ROAD: 5.0,
    MarkKind.WATER: 0.0,
    MarkKind.TREES: 0.0,
}
"""How near a landing counts as one on it [m]: of people and buildings as campaigns take it, of a road half
its width and a verge; assumed. Other pads are no hazard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnMark:
    """How many flights come down on one thing of the map."""

    kind: MarkKind
    name: str
    count: int
    flights: int
    low: float
    """Share of flights, 95 % bounds [-]."""
    high: float
    bare: int | None
    """Of as many flights whose canopies all stay in; ``None`` where none were flown so."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MapFlights:
    """Landing points of flights, and of as many whose canopies all stay in; equal only to itself."""

    flights: int
    landings_m: NDArray[np.float64]
    """(k, 2) east and north of the pad, of those that are not lost [m]."""
    bare_m: NDArray[np.float64]
    """The same of those without a canopy [m]."""
    apogees_s: NDArray[np.float64]
    """When the flights come to their top, after lift-off (k,) [s]."""


def fly_for_map(case: FlightCase, *, flights: int, seed: int, threads: int = 1) -> MapFlights:
    """Fly a case many times, and as many times with every canopy staying in.

    Parameters
    ----------
    case : FlightCase
        Nominal flight and everything that may differ.
    flights : int
        How many of each.
    seed : int
        Of all chance.
    threads : int
        Threads to fly on.

    Returns
    -------
    flown : MapFlights
        Landing points [m].

    Raises
    ------
    OutsideRange
        If the number of flights or the seed cannot be, or the flight itself.

    Notes
    -----
    Range and error as the campaign's. Without a canopy the vehicle comes down whole, as it flew: one that
    parted and tumbles falls nearer.

    References
    ----------
    .. [1] As :func:`finial.flight.many.fly_many`.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> from finial.flight.spread import Spread, whole_mass
    >>> nominal = example_inputs()
    >>> still = Spread(draws=(), masses=whole_mass(nominal), wind_speed_m_s=4.0)
    >>> case = FlightCase(
    ...     name="", inputs=nominal, spread=still, ceiling_agl_m=None, field_m=None, pad_rad=None,
    ...     field_radius_m=None, us_units=False,
    ... )
    >>> fly_for_map(case, flights=2, seed=1).landings_m.shape
    (2, 2)
    """
    own = planned(case.name, case.inputs, case.spread, flights=flights, seed=seed)
    flown, bare = (_flown(one, threads) for one in (own, _kept_in(case, flights=flights, seed=seed)))
    left = flown.column("apogee_time_s")
    return MapFlights(
        flights=flights,
        landings_m=_landings(flown),
        bare_m=_landings(bare),
        apogees_s=left[np.isfinite(left) & (flown.column("loss") == 0.0)],
    )


def _kept_in(case: FlightCase, *, flights: int, seed: int) -> Campaign:
    """Plan the same flights with every canopy staying in its bay: they come down as they flew."""
    draws = tuple(
        replace(draw, above=1.0) if draw.number.kind is Drawn.STAYS_IN else draw for draw in case.spread.draws
    )
    return planned(case.name, case.inputs, replace(case.spread, draws=draws), flights=flights, seed=seed)


def _flown(campaign: Campaign, threads: int) -> ManyFlights:
    return fly_range(campaign, 0, campaign.flights, threads=threads)


def _landings(flown: ManyFlights) -> NDArray[np.float64]:
    sound = (flown.column("ended") == LANDED) & (flown.column("loss") == 0.0)
    return np.column_stack([flown.column("landing_east_m"), flown.column("landing_north_m")])[sound]


def distance_to_mark(mark: MarkOnField, points_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far points lie from one thing on the map, 0 on or inside it.

    Parameters
    ----------
    mark : MarkOnField
        An outline with holes, a line or a point [m].
    points_m : ndarray, shape (n, 2)
        East and north of the pad [m].

    Returns
    -------
    distances_m : ndarray, shape (n,)
        Plane distances [m].

    Notes
    -----
    Exact in the plane; range: a flat field.

    References
    ----------
    .. [1] Plane geometry.

    Examples
    --------
    >>> road = MarkOnField(
    ...     kind=MarkKind.ROAD, name="", rings_m=(np.array([[0.0, 0.0], [0.0, 9.0]]),), is_area=False
    ... )
    >>> distance_to_mark(road, np.array([[3.0, 4.0], [0.0, 5.0]])).tolist()
    [3.0, 0.0]
    """
    import shapely

    rings = mark.rings_m
    if mark.is_area:
        shape = shapely.Polygon(rings[0], rings[1:])
    else:
        shape = shapely.Point(rings[0][0]) if len(rings[0]) == 1 else shapely.LineString(rings[0])
    found: Any = shapely.distance(shape, shapely.points(points_m))  # pyright: ignore[reportUnknownMemberType]
    return np.asarray(found, dtype=float)


def nearest_to_mark(mark: MarkOnField, points_m: NDArray[np.float64]) -> float:
    r"""How near the nearest of many points lies to one thing on the map, 0 on or inside it.

    .. math::  \min_i d_i, \qquad d_i \ge b_i, \quad d_i \text{ looked at where } b_i \le d_{\arg\min b}

    with :math:`b` the distance to the box round the thing.

    Parameters
    ----------
    mark : MarkOnField
        An outline with holes, a line or a point [m].
    points_m : ndarray, shape (n, 2)
        East and north of the pad [m], at least one.

    Returns
    -------
    distance_m : float
        The least of :func:`distance_to_mark` [m].

    Notes
    -----
    Exact in the plane; range: a flat field. Of a flight's many points few are measured to the outline.

    References
    ----------
    .. [1] Plane geometry: nothing lies nearer than the box round it.

    Examples
    --------
    >>> road = MarkOnField(
    ...     kind=MarkKind.ROAD, name="", rings_m=(np.array([[0.0, 0.0], [0.0, 9.0]]),), is_area=False
    ... )
    >>> nearest_to_mark(road, np.array([[3.0, 4.0], [5.0, 5.0]]))
    3.0
    """
    corners = mark.rings_m[0]
    aside = np.maximum(corners.min(axis=0) - points_m, points_m - corners.max(axis=0))
    to_box = np.hypot(*np.maximum(aside, 0.0).T)
    first = int(to_box.argmin())
    known = float(distance_to_mark(mark, points_m[first : first + 1])[0])
    # A nanometre for what rounding takes.
    return float(distance_to_mark(mark, points_m[to_box <= known + 1e-9]).min())


def on_marks(marks: Sequence[MarkOnField], flown: MapFlights) -> tuple[OnMark, ...]:
    """Count the flights that come down on each thing of the map.

    Parameters
    ----------
    marks : sequence of MarkOnField
        What lies round the field [m].
    flown : MapFlights
        Landing points [m].

    Returns
    -------
    counts : tuple of OnMark
        Other pads left out; shares with 95 % bounds [-].

    Raises
    ------
    OutsideRange
        If no flight landed: nothing can then be counted.

    Notes
    -----
    A landing counts within the reach of its kind: 3 m of people and buildings, 5 m of a road. Range: flights
    that are independent of each other.

    References
    ----------
    .. [1] Clopper and Pearson, The use of confidence or fiducial limits illustrated in the case of the
       binomial, Biometrika 26 (1934) 404; from memory, not re-read.

    Examples
    --------
    >>> barn = MarkOnField(kind=MarkKind.BUILDING, name="", rings_m=(np.array([[0.0, 9.0]]),), is_area=False)
    >>> points = np.array([[0.0, 8.0], [0.0, 90.0]])
    >>> two = MapFlights(flights=2, landings_m=points, bare_m=points, apogees_s=np.empty(0))
    >>> on_marks([barn], two)[0].count
    1
    """
    counted = marks_under(marks, [flown.landings_m])
    return tuple(
        replace(one, bare=_count(mark, flown.bare_m))
        for one, mark in zip(counted, _hazards(marks), strict=True)
    )


def marks_under(
    marks: Sequence[MarkOnField], landings_m: Iterable[NDArray[np.float64]]
) -> tuple[OnMark, ...]:
    """Count the landing points on each thing of the map, where none were flown without a canopy.

    Parameters
    ----------
    marks : sequence of MarkOnField
        What lies round the field [m].
    landings_m : iterable of ndarray, shape (k, 2)
        East and north of the pad, piece by piece [m].

    Returns
    -------
    counts : tuple of OnMark
        As of :func:`on_marks`; ``bare`` is ``None`` [-].

    Raises
    ------
    OutsideRange
        If no flight landed: nothing can then be counted.

    Notes
    -----
    Reaches and range as of :func:`on_marks`.

    References
    ----------
    .. [1] As :func:`on_marks`.

    Examples
    --------
    >>> barn = MarkOnField(kind=MarkKind.BUILDING, name="", rings_m=(np.array([[0.0, 9.0]]),), is_area=False)
    >>> marks_under([barn], [np.array([[0.0, 8.0]]), np.array([[0.0, 90.0]])])[0].count
    1
    """
    hazards, flights = _hazards(marks), 0
    counts = [0] * len(hazards)
    for piece in landings_m:
        flights += len(piece)
        counts = [count + _count(mark, piece) for count, mark in zip(counts, hazards, strict=True)]
    if flights == 0:
        raise OutsideRange("no flight landed: nothing can be counted on the map")
    return tuple(_on_mark(mark, count, flights) for mark, count in zip(hazards, counts, strict=True))


def _hazards(marks: Sequence[MarkOnField]) -> tuple[MarkOnField, ...]:
    return tuple(mark for mark in marks if mark.kind in REACHES_M)


def _on_mark(mark: MarkOnField, count: int, flights: int) -> OnMark:
    low, high = failure_probability_interval(count, flights, CONFIDENCE)
    return OnMark(
        kind=mark.kind,
        name=mark.name,
        count=count,
        flights=flights,
        low=low,
        high=high,
        bare=None,
    )


def _count(mark: MarkOnField, points_m: NDArray[np.float64]) -> int:
    if not len(points_m):
        return 0
    return int(np.sum(distance_to_mark(mark, points_m) <= REACHES_M[mark.kind]))
