"""The least single changes that mend what fails, and what the whole check says of each."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from finial.assemble.day import wind_at_ten_metres
from finial.assemble.looks.glance import Look, look_at
from finial.assemble.vehicle.changes import Design, designed
from finial.assemble.vehicle.loading import Vehicle
from finial.core.dimensions import Dimension
from finial.core.errors import FinialError
from finial.core.units import show
from finial.findings.check import readiness
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.sizing.least import least_enough
from finial.sizing.solve import ballast_for, canopy_for, rail_for

_LARGEST_SPAN, _SPAN_STEP = 2.0, 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change, by itself: what it is, what it weighs, and what the whole check then says."""

    what: str
    mends: str
    """The check it is made for."""
    design: Design
    added_kg: float
    verdict: Verdict
    left: tuple[str, ...]
    """Checks that still are no-go or not known."""


def cheapest_changes(vehicle: Vehicle) -> tuple[Change, ...]:
    """Try one change at a time for what sizing can mend; those that make it go first, lightest first."""
    before = readiness(vehicle)
    failing = {finding.name for finding in before.findings if _fails(finding)}
    found = [
        _judged(vehicle, one, before.flight.lift_off_mass_kg)
        for one in _candidates(vehicle, failing, Limits(own=vehicle.sheet.limits.own))
    ]
    return tuple(sorted(found, key=lambda one: (one.verdict, len(one.left), one.added_kg)))


def _fails(finding: Finding) -> bool:
    return finding.verdict in (Verdict.NO_GO, Verdict.NOT_KNOWN)


_Candidate = tuple[str, str, Design]


def _candidates(vehicle: Vehicle, failing: set[str], limits: Limits) -> Iterator[_Candidate]:
    margins = sorted(name for name in failing if name.startswith("margin at"))
    if margins:
        needed_m = limits["margin_widths"].value * vehicle.skin.width_m
        yield from _for_margin(vehicle, margins[0], needed_m)
    if "speed off the rail" in failing:
        wind = wind_at_ten_metres(vehicle).high
        speed = max(limits["rail_exit_speed"].value, limits["rail_exit_wind_ratio"].value * wind)
        yield from _worked(
            vehicle, "speed off the rail", "rail of {}", lambda: rail_for(vehicle, speed).design
        )
    if "landing speed" in failing:
        for canopy in vehicle.sheet.recovery.canopy:
            speed = limits["landing_speed"].value

            def sized(name: str = canopy.name, speed: float = speed) -> Design:
                return canopy_for(vehicle, name, speed).design

            yield from _worked(vehicle, "landing speed", f"{canopy.name} of {{}}", sized)


def _for_margin(vehicle: Vehicle, mends: str, needed_m: float) -> Iterator[_Candidate]:
    forward = sorted(vehicle.sheet.item, key=lambda item: item.station.value)
    ballast = [item for item in forward if "ballast" in item.name.casefold()]
    for item in ballast or forward[:1]:

        def heavier(name: str = item.name) -> Design:
            return ballast_for(vehicle, name, needed_m).design

        yield from _worked(vehicle, mends, f"{item.name} of {{}}", heavier)
    for fin in vehicle.sheet.fin:

        def longer(name: str = fin.name) -> Design:
            def spare(scale: float) -> float:
                return look_at(designed(vehicle, Design(spans={name: scale}))).margin_m - needed_m

            scale, _ = least_enough(spare, 1.0, _LARGEST_SPAN, _SPAN_STEP)
            return Design(spans={name: round(scale + 0.005, 2)})

        yield from _worked(vehicle, mends, f"{fin.name} reaching {{}}", longer)


def _worked(vehicle: Vehicle, mends: str, words: str, sized: Callable[[], Design]) -> Iterator[_Candidate]:
    """Yield the change with its size in words; nothing where no size is enough."""
    try:
        design = sized()
    except FinialError:
        return
    yield words.format(_size(vehicle, design)), mends, design


def _size(vehicle: Vehicle, design: Design) -> str:
    us_units = vehicle.us_units
    if design.masses_kg:
        return show(next(iter(design.masses_kg.values())), Dimension.MASS, us_units)
    if design.spans:
        look: Look = look_at(designed(vehicle, design))
        return show(look.span_m, Dimension.LENGTH, us_units)
    length = design.rail_m if design.rail_m is not None else next(iter(design.canopies_m.values()))
    return show(length, Dimension.LENGTH, us_units)


def _judged(vehicle: Vehicle, candidate: _Candidate, mass_kg: float) -> Change:
    what, mends, design = candidate
    after = readiness(designed(vehicle, design))
    return Change(
        what=what,
        mends=mends,
        design=design,
        added_kg=after.flight.lift_off_mass_kg - mass_kg,
        verdict=after.verdict,
        left=tuple(finding.name for finding in after.findings if _fails(finding)),
    )
