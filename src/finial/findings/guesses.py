"""The guesses that matter most: which unknowns move the stability margin, and by how much."""

from collections.abc import Iterator

from finial.assemble.looks.answer import StageResults
from finial.assemble.mass.rows import Row, balance_reach
from finial.core.estimates import KnownBy
from finial.findings.guess import Guess, GuessKind
from finial.findings.limits import Limits

SHOWN = 6


def guesses(found: StageResults, limits: Limits) -> tuple[Guess, ...]:
    """Rank what widens the worst margin, by how much of the room to its limit it takes up."""
    worst = min(found.stability, key=lambda point: point.margin.low)
    room = abs(worst.margin.low - limits.margin(worst.width_m, worst.length_m).value)
    every = [*_masses(found, room), *_band(found, room), *_flight(found)]
    return tuple(sorted(every, key=lambda guess: -guess.weight)[:SHOWN])


def _masses(found: StageResults, room_m: float) -> Iterator[Guess]:
    for row in found.rows:
        if row.mass.known_by is KnownBy.WEIGHED and row.station.half_width == 0.0:
            continue
        moved = balance_reach(row, found.mass.lift_off.station_m) / found.mass.lift_off.mass_kg
        if moved > 0.0:
            yield _of_row(row, moved, room_m)


def _of_row(row: Row, moved_m: float, room_m: float) -> Guess:
    return Guess(
        kind=GuessKind.PLACE if row.mass.known_by is KnownBy.WEIGHED else GuessKind.MASS,
        name=row.name,
        known_by=row.mass.known_by,
        mass=row.mass,
        station=row.station if row.station.half_width > 0.0 else None,
        moves_m=moved_m,
        weight=moved_m / max(room_m, 1e-6),
    )


def _band(found: StageResults, room_m: float) -> Iterator[Guess]:
    for part in found.air.contributions:
        if part.forward_m > 0.0:
            yield Guess(
                kind=GuessKind.AIR if part.step_m is None else GuessKind.STEP,
                name=part.name,
                known_by=KnownBy.COMPUTED,
                reach_m=(part.forward_m, part.aft_m),
                step_m=part.step_m,
                gathered=part.gathered,
                moves_m=part.forward_m,
                weight=part.forward_m / max(room_m, 1e-6),
            )


def _flight(found: StageResults) -> Iterator[Guess]:
    """Wind of the day: how far it moves the landing point, against the flight's own drift."""
    drift, radius = found.flight.drift, found.vehicle.files.site.field_radius
    if radius is None or drift.half_width == 0.0:
        return
    yield Guess(
        kind=GuessKind.WIND,
        wind=found.vehicle.sheet.launch.wind.estimate(KnownBy.MEASURED),
        moves_m=drift.half_width,
        weight=drift.half_width / max(abs(radius.value - drift.high), 1e-6),
    )
