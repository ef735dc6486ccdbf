"""The guesses that matter most: which unknowns move the stability margin, and by how much."""

from collections.abc import Iterator
from dataclasses import dataclass

from finial.assemble.air.results import BandContribution
from finial.assemble.looks.answer import Answer
from finial.assemble.mass.rows import Row, balance_reach
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy
from finial.core.units import show, show_estimate
from finial.findings.limits import Limits

SHOWN = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """A guess, and how far the verdict's worst margin moves over its interval."""

    what: str
    interval: str
    effect: str
    """What it moves, in words and numbers."""
    advice: str
    weight: float
    """For ranking: movement of the margin over the margin itself [-]."""


def guesses(found: Answer, limits: Limits) -> tuple[Guess, ...]:
    """Rank what widens the worst margin, by how much of the room to its limit it takes up."""
    worst = min(found.stability, key=lambda point: point.margin.low)
    room = abs(worst.margin.low - limits["margin_widths"].value * worst.width_m)
    every = [*_masses(found, room), *_band(found, room), *_flight(found)]
    return tuple(sorted(every, key=lambda guess: -guess.weight)[:SHOWN])


def _masses(found: Answer, room_m: float) -> Iterator[Guess]:
    us_units = found.vehicle.us_units
    for row in found.rows:
        if row.mass.known_by is KnownBy.WEIGHED and row.station.half_width == 0.0:
            continue
        moved = balance_reach(row, found.mass.lift_off.station_m) / found.mass.lift_off.mass_kg
        if moved > 0.0:
            yield Guess(
                what=f"{row.name} ({row.mass.known_by.word})",
                interval=_interval(row, us_units),
                effect=f"moves the margin by {show(moved, Dimension.LENGTH, us_units)} either way",
                advice=_advice(row),
                weight=moved / max(room_m, 1e-6),
            )


def _interval(row: Row, us_units: bool) -> str:
    shown = show_estimate(row.mass, Dimension.MASS, us_units)
    if row.station.half_width == 0.0:
        return shown
    return f"{shown} at {show_estimate(row.station, Dimension.LENGTH, us_units)}"


def _advice(row: Row) -> str:
    if row.mass.known_by is KnownBy.WEIGHED:
        return f"measure where {row.name} sits"
    return f"weigh {row.name}"


def _band(found: Answer, room_m: float) -> Iterator[Guess]:
    us_units = found.vehicle.us_units
    for part in found.air.contributions:
        if part.forward_m > 0.0:
            yield Guess(
                what=f"air: {part.name}",
                interval=_reach(part, us_units),
                effect=f"takes {show(part.forward_m, Dimension.LENGTH, us_units)} off the worst margin",
                advice=_air_advice(part.name),
                weight=part.forward_m / max(room_m, 1e-6),
            )


def _air_advice(reason: str) -> str:
    """Advise a gentler step where a step is the reason; the rest is what the method does not know."""
    if reason.startswith("step"):
        return "draw the step gentler, or keep more margin"
    return "keep more margin: ballast near the tip, or larger fins"


def _reach(part: BandContribution, us_units: bool) -> str:
    forward, aft = (show(metres, Dimension.LENGTH, us_units) for metres in (part.forward_m, part.aft_m))
    return f"{forward} forward to {aft} aft"


def _flight(found: Answer) -> Iterator[Guess]:
    """Wind of the day: how far it moves the landing point, against the flight's own drift."""
    drift, us_units = found.flight.drift, found.vehicle.us_units
    radius = found.vehicle.files.site.field_radius
    if radius is None or drift.half_width == 0.0:
        return
    room = abs(radius.value - drift.high)
    yield Guess(
        what="wind of the day",
        interval=found.vehicle.sheet.launch.wind.text,
        effect=f"moves the landing point by {_either_way(drift, us_units)}",
        advice="measure the wind at the pad and aloft before the flight",
        weight=drift.half_width / max(room, 1e-6),
    )


def _either_way(drift: Estimate, us_units: bool) -> str:
    return f"{show(drift.half_width, Dimension.LENGTH, us_units)} either way"
