"""Which way to lean the rail today: every lean flown with and without its canopies, and what it clears."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.assemble.vehicle.field import MarkOnField
from finial.campaign.spot import Spot
from finial.files.geojson import MarkKind
from finial.flight.fly import fly
from finial.flight.inputs import FlightInputs
from finial.flight.trace import Trace
from finial.range_safety.hazards import REACHES_M, nearest_to_mark

TILT_STEP_RAD = math.radians(2.0)
MOST_TILT_RAD = math.radians(12.0)
"""Leans tried, up to what the code allows: beyond it a flight is flat more than it is safer; a judgement."""
BEARINGS = 12
STAY_OFF = frozenset({MarkKind.PEOPLE, MarkKind.ROAD, MarkKind.BUILDING})
"""What nothing may come down on, whether its canopy opens or not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean:
    """One lean of the rail, and how far every flight stays from what it must not reach."""

    tilt_rad: float
    toward_rad: float
    clearance_m: float
    """The least over all flights, below 0 where one reaches it [m]."""


def leans(
    inputs: Mapping[str, FlightInputs], spot: Spot, marks: Sequence[MarkOnField], most_rad: float
) -> tuple[Lean, ...]:
    """Fly every lean in every wind, with its canopies and without, the one that clears most first.

    Parameters
    ----------
    inputs : mapping of str to FlightInputs
        What each wind's flight is flown with; the rail's lean in them is replaced.
    spot : Spot
        Field and people [m].
    marks : sequence of MarkOnField
        People, roads and buildings on the map [m].
    most_rad : float
        Largest tilt that the code allows [rad].

    Returns
    -------
    leans : tuple of Lean
        Empty where neither field nor people nor anything on the map is known; the least tilt first among
        those that clear as much [rad], [m].

    Raises
    ------
    OutsideRange
        If an input of a flight cannot be.

    Notes
    -----
    Steps of 2 degrees up to 12, bearings of 30 degrees; range and error as one flight's. Says nothing of how
    the vehicle leaves a leaning rail.

    References
    ----------
    .. [1] Search over a grid.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> found = leans({"nominal": example_inputs()}, Spot(field_radius_m=500.0), (), math.radians(3.0))
    >>> len(found)
    13
    """
    if spot.field_m is None and spot.field_radius_m is None and spot.crowd is None and not marks:
        return ()
    found = [_lean(inputs, spot, marks, *lean) for lean in _tried(most_rad)]
    return tuple(sorted(found, key=lambda one: (-round(one.clearance_m), one.tilt_rad)))


def _tried(most_rad: float) -> Iterator[tuple[float, float]]:
    yield 0.0, 0.0
    steps = int(min(MOST_TILT_RAD, most_rad) / TILT_STEP_RAD + 1e-9)
    for step in range(1, steps + 1):
        yield from ((step * TILT_STEP_RAD, 2 * math.pi * turn / BEARINGS) for turn in range(BEARINGS))


def _lean(
    inputs: Mapping[str, FlightInputs],
    spot: Spot,
    marks: Sequence[MarkOnField],
    tilt_rad: float,
    toward_rad: float,
) -> Lean:
    landings: list[tuple[float, float]] = []
    for given in inputs.values():
        rail = replace(given.rail, tilt_rad=tilt_rad, bearing_rad=toward_rad)
        for canopies in (given.canopies, ()):
            trace = fly(replace(given, rail=rail, canopies=canopies))
            if not trace.landed:
                return Lean(tilt_rad=tilt_rad, toward_rad=toward_rad, clearance_m=-math.inf)
            landings.append(_landing(trace))
    cleared = clearance_m(np.array(landings), spot, marks)
    return Lean(tilt_rad=tilt_rad, toward_rad=toward_rad, clearance_m=cleared)


def _landing(trace: Trace) -> tuple[float, float]:
    east, north = trace.positions_m[-1, :2].tolist()
    return east, north


def clearance_m(points_m: NDArray[np.float64], spot: Spot, marks: Sequence[MarkOnField]) -> float:
    r"""Find how far landing points stay inside the field and off people, roads and buildings, at the worst.

    .. math::  c = \min_i \min \left( d_{edge}, \; d_{people}, \; d_{mark} - r_{mark} \right)

    Parameters
    ----------
    points_m : ndarray, shape (n, 2)
        Landing points, east and north of the pad [m].
    spot : Spot
        Field and people [m].
    marks : sequence of MarkOnField
        What lies round the field [m].

    Returns
    -------
    clearance_m : float
        Below 0 where a point lies outside the field, infinite where nothing is known to keep off [m].

    Notes
    -----
    Holds for a flat field; a point on people, a road or a building counts as 0 less their reach.

    References
    ----------
    .. [1] Plane geometry.

    Examples
    --------
    >>> clearance_m(np.array([[300.0, 400.0]]), Spot(field_radius_m=900.0), ())
    400.0
    """
    worst = [math.inf]
    if spot.field_m is not None or spot.field_radius_m is not None:
        worst.append(float(spot.inside_by_m(points_m).min()))
    if spot.crowd is not None:
        worst.append(float(spot.crowd.distance_m(points_m).min()))
    worst += [
        nearest_to_mark(mark, points_m) - REACHES_M[mark.kind] for mark in marks if mark.kind in STAY_OFF
    ]
    return min(worst)
