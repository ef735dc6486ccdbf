"""The numbers of the page, grouped, each in the builder's units with its interval and pedigree."""

import math
from dataclasses import dataclass

from finial.assemble.stability.results import StabilityPoint
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.units import show, show_estimate
from finial.findings.readiness import Readiness
from finial.report.strength_words import gives_way
from finial.report.wording.strength import case_words
from finial.structure.reserves import Reserve, badness

_MOST_RESERVES = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberRow:
    """One line: ``interval`` is without unit, empty for an exact number."""

    key: str
    name: str
    value: str
    interval: str = ""
    known_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberGroup:
    """Numbers of one subject."""

    title: str
    rows: tuple[NumberRow, ...]


def worst_point(readiness: Readiness) -> StabilityPoint:
    """Return the moment with the smallest margin at the bad end."""
    return min(readiness.stability, key=lambda point: point.margin.low)


def key_numbers(readiness: Readiness) -> tuple[NumberRow, ...]:
    """Return the few that stand beside the sliders."""
    point, flight, us = worst_point(readiness), readiness.flight, readiness.us_units
    return (
        _row("mass", "Mass at lift-off", readiness.mass.lift_off_mass, Dimension.MASS, us),
        _row("balance", "Balance point, from the tip", point.balance, Dimension.LENGTH, us),
        NumberRow(
            key="margin-bad-end",
            name=f"Smallest margin, {point.moment}",
            value=show(point.margin.low, Dimension.LENGTH, us),
        ),
        _row("thrust-to-weight", "Thrust over weight", flight.thrust_to_weight, Dimension.RATIO, us),
        *_known("rail-exit", "Speed off the rail", flight.rail_exit_speed, Dimension.SPEED, us),
        _row("apogee", "Apogee above the pad", flight.apogee_agl, Dimension.LENGTH, us),
    )


def number_groups(readiness: Readiness) -> tuple[NumberGroup, ...]:
    """Return every number shown, by subject."""
    groups = (
        NumberGroup(title="Shape and mass", rows=_mass_rows(readiness)),
        NumberGroup(title="Balance and wind", rows=_stability_rows(readiness)),
        NumberGroup(title="Motor and flight", rows=_flight_rows(readiness)),
        _least_reserves(readiness),
        NumberGroup(title="Coming down", rows=_recovery_rows(readiness)),
    )
    return tuple(group for group in groups if group.rows)


def _mass_rows(readiness: Readiness) -> tuple[NumberRow, ...]:
    shape, mass, us = readiness.shape, readiness.mass, readiness.us_units
    return (
        NumberRow(key="length", name="Length", value=show(shape.skin.length_m, Dimension.LENGTH, us)),
        NumberRow(key="width", name="Width", value=show(shape.skin.breadth_m, Dimension.LENGTH, us)),
        _row("lift-off-mass", "Mass at lift-off", mass.lift_off_mass, Dimension.MASS, us),
        NumberRow(
            key="burnout-mass", name="Mass at burnout", value=show(mass.burnout.mass_kg, Dimension.MASS, us)
        ),
        _row("lift-off-balance", "Balance point at lift-off", mass.lift_off_balance, Dimension.LENGTH, us),
        _row("burnout-balance", "Balance point at burnout", mass.burnout_balance, Dimension.LENGTH, us),
    )


def _stability_rows(readiness: Readiness) -> tuple[NumberRow, ...]:
    us = readiness.us_units
    rows: list[NumberRow] = []
    for point in readiness.stability:
        key = point.moment.replace(" ", "-")
        band, margin = f"Pressure band at {point.moment}", f"Margin at {point.moment}"
        rows.append(_row(f"band-{key}", band, point.pressure, Dimension.LENGTH, us))
        rows.append(_row(f"margin-{key}", margin, point.margin, Dimension.LENGTH, us, point.length_m))
        rows.append(_row(f"widths-{key}", f"{margin}, in widths", _widths(point), Dimension.RATIO, us))
    return tuple(rows)


def _flight_rows(readiness: Readiness) -> tuple[NumberRow, ...]:
    flight, us = readiness.flight, readiness.us_units
    return (
        NumberRow(key="motor", name="Motor", value=f"{flight.motor_name} ({flight.motor_letter})"),
        NumberRow(key="impulse", name="Impulse", value=show(flight.impulse_n_s, Dimension.IMPULSE, us)),
        *_known("rail-speed", "Speed off the rail", flight.rail_exit_speed, Dimension.SPEED, us),
        *_known(
            "rail-angle",
            "Wind's angle off the rail",
            flight.rail.wind_angle if flight.rail else None,
            Dimension.ANGLE,
            us,
        ),
        _row("max-speed", "Highest speed", flight.max_speed, Dimension.SPEED, us),
        _row("apogee-height", "Apogee above the pad", flight.apogee_agl, Dimension.LENGTH, us),
        _row("drift", "Landing, distance from the pad", flight.drift, Dimension.LENGTH, us),
    )


def _least_reserves(readiness: Readiness) -> NumberGroup:
    """Reserves as the findings have them, worst first: what nobody knows comes before all."""
    look = "quick" if readiness.strength_study is None else "whole"
    worst = sorted(readiness.strength_looked.reserves, key=badness)[:_MOST_RESERVES]
    title = f"Least reserves of strength, by the {look} look"
    return NumberGroup(title=title, rows=tuple(_reserve_row(row, look) for row in worst))


def _reserve_row(row: Reserve, look: str) -> NumberRow:
    name = f"{gives_way(row)}, {case_words(row.case)}"
    # Of two looks the same reserve is two numbers, of which neither changed.
    key = _key(row, look)
    if row.reserve is None:
        return NumberRow(key=key, name=name, value="not known")
    return _row(key, name, row.reserve, Dimension.RATIO, False)


def _key(row: Reserve, look: str) -> str:
    case = (row.case.load.value, row.case.subject, row.case.half or "") if row.case else ()
    return "-".join(filter(None, ("reserve", look, row.mode.value, row.subject, *case)))


def _recovery_rows(readiness: Readiness) -> tuple[NumberRow, ...]:
    recovery, us = readiness.recovery, readiness.us_units
    rows: list[NumberRow] = []
    for canopy in recovery.canopies:
        key, name = f"canopy-{canopy.name}", f"Canopy {canopy.name}"
        rows.append(_row(f"{key}-speed", f"{name}: falls at", canopy.descent_speed, Dimension.SPEED, us))
        rows.append(_row(f"{key}-load", f"{name}: opening load", canopy.opening_load, Dimension.FORCE, us))
    if recovery.landing_speed is not None:
        rows.append(_row("landing-speed", "Landing speed", recovery.landing_speed, Dimension.SPEED, us))
    if recovery.landing_energy is not None:
        rows.append(_row("landing-energy", "Landing energy", recovery.landing_energy, Dimension.ENERGY, us))
    return tuple(rows)


def _widths(point: StabilityPoint) -> Estimate:
    return point.margin.scaled(1 / point.width_m)


def _known(
    key: str, name: str, estimate: Estimate | None, dimension: Dimension, us_units: bool
) -> tuple[NumberRow, ...]:
    if estimate is None:
        return (NumberRow(key=key, name=name, value="not known"),)
    return (_row(key, name, estimate, dimension, us_units),)


def _row(
    key: str, name: str, estimate: Estimate, dimension: Dimension, us_units: bool, far: float = math.inf
) -> NumberRow:
    value, _, interval = show_estimate(estimate, dimension, us_units, far).partition(" (")
    return NumberRow(
        key=key, name=name, value=value, interval=interval.rstrip(")"), known_by=estimate.known_by.word
    )
