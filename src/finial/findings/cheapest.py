"""The least single changes that mend what fails, and what the whole check says of each."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from finial.assemble.day import wind_at_ten_metres
from finial.assemble.looks.glance import look_at
from finial.assemble.vehicle.changes import Changes, changed
from finial.assemble.vehicle.levers import span
from finial.assemble.vehicle.loading import Vehicle
from finial.core.errors import FinialError
from finial.findings.check import readiness
from finial.findings.finding import Finding, Verdict, worst_first
from finial.findings.limits import Limits
from finial.sizing.least import least_enough
from finial.sizing.solve import Sized, ballast_for, canopy_for, rail_for

MARGIN, RAIL_EXIT, LANDING = "margin", "rail-exit-speed", "landing-speed"
_LARGEST_SPAN, _SPAN_STEP = 2.0, 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """One change, by itself: what it is, what it weighs, and what the whole check then says."""

    lever: str
    """``ballast``, ``span``, ``rail`` or ``canopy``."""
    name: str
    """What it belongs to in the sheet."""
    size: float
    """Mass [kg] or length [m] it then has; of a span the reach [m]."""
    mends: Finding
    """The check it is made for."""
    changes: Changes
    added_kg: float
    verdict: Verdict
    left: tuple[Finding, ...]
    """Checks that still are no-go or not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Candidate:
    lever: str
    name: str
    size: float
    mends: Finding
    changes: Changes


def cheapest_changes(vehicle: Vehicle) -> tuple[Mend, ...]:
    """Try one change at a time for what sizing can mend; those that make it go first, lightest first."""
    before = readiness(vehicle)
    failing = [finding for finding in before.findings if finding.fails]
    candidates = _candidates(vehicle, failing, Limits(own=vehicle.sheet.limits.own))
    found = [_judged(vehicle, one, before.flight.lift_off_mass_kg) for one in candidates]
    return tuple(sorted(found, key=lambda one: (one.verdict, len(one.left), one.added_kg)))


def _candidates(vehicle: Vehicle, failing: list[Finding], limits: Limits) -> Iterator[_Candidate]:
    first = {finding.key: finding for finding in reversed(worst_first(failing))}
    if MARGIN in first:
        needed_m = limits.margin(vehicle.skin.width_m, vehicle.skin.length_m).value
        yield from _for_margin(vehicle, first[MARGIN], needed_m)
    if RAIL_EXIT in first:
        wind = wind_at_ten_metres(vehicle).high
        speed = max(limits["rail_exit_speed"].value, limits["rail_exit_wind_ratio"].value * wind)
        yield from _worked(("rail", "", first[RAIL_EXIT]), lambda: _size_of(rail_for(vehicle, speed)))
    if LANDING in first:
        for canopy in vehicle.sheet.recovery.canopy:

            def sized(name: str = canopy.name) -> tuple[float, Changes]:
                return _size_of(canopy_for(vehicle, name, limits["landing_speed"].value))

            yield from _worked(("canopy", canopy.name, first[LANDING]), sized)


def _for_margin(vehicle: Vehicle, mends: Finding, needed_m: float) -> Iterator[_Candidate]:
    for item in ballast_items(vehicle):

        def heavier(name: str = item) -> tuple[float, Changes]:
            return _size_of(ballast_for(vehicle, name, needed_m))

        yield from _worked(("ballast", item, mends), heavier)
    for fin in vehicle.sheet.fin:

        def longer(name: str = fin.name) -> tuple[float, Changes]:
            def spare(scale: float) -> float:
                return look_at(changed(vehicle, span(vehicle.sheet, name, scale))).margin_m - needed_m

            scale, _ = least_enough(spare, 1.0, _LARGEST_SPAN, _SPAN_STEP)
            changes = span(vehicle.sheet, name, round(scale + 0.005, 2))
            return look_at(changed(vehicle, changes)).span_m, changes

        yield from _worked(("span", fin.name, mends), longer)


def ballast_items(vehicle: Vehicle) -> tuple[str, ...]:
    """Names of the items that may be made heavier: those the sheet marks, else the foremost."""
    forward = sorted(vehicle.sheet.item, key=lambda item: item.station.value)
    marked = [item.name for item in forward if item.ballast]
    return tuple(marked or [item.name for item in forward[:1]])


def _size_of(sized: Sized) -> tuple[float, Changes]:
    return sized.value, sized.changes


def _worked(
    named: tuple[str, str, Finding], sized: Callable[[], tuple[float, Changes]]
) -> Iterator[_Candidate]:
    """Yield the change with its size; nothing where no size is enough."""
    try:
        size, changes = sized()
    except FinialError:
        return
    lever, name, mends = named
    yield _Candidate(lever=lever, name=name, size=size, mends=mends, changes=changes)


def _judged(vehicle: Vehicle, one: _Candidate, mass_kg: float) -> Mend:
    after = readiness(vehicle, one.changes)
    return Mend(
        lever=one.lever,
        name=one.name,
        size=one.size,
        mends=one.mends,
        changes=one.changes,
        added_kg=after.flight.lift_off_mass_kg - mass_kg,
        verdict=after.verdict,
        left=tuple(finding for finding in after.findings if finding.fails),
    )
