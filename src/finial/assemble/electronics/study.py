"""Firing paths, power, odds and single points of a sheet's electronics."""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from math import prod

from finial.assemble.electronics.results import (
    ArmingOdds,
    CanopyOdds,
    ContinuityCheck,
    CutSet,
    Doubling,
    ElectronicsResult,
    PathPower,
    SinglePoint,
)
from finial.assemble.electronics.wiring import SECONDS_PER_HOUR, sheet_wiring
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.electronics.arming import Network, odds_of_no_arming, odds_of_unasked_arming
from finial.electronics.batteries import cell_temperature
from finial.electronics.common_cause import ALL_AT_ONCE, shaken, with_common_causes
from finial.electronics.near_people import odds_of_firing, ways_to_fire
from finial.electronics.paths import (
    FiringPath,
    canopies_off_event,
    canopies_without_path,
    charges_without_igniter,
    firing_paths,
    ways_out,
)
from finial.electronics.rates import PartKind, rates_of
from finial.electronics.reliability import doubled, loss_interval, minimal_cut_sets
from finial.electronics.supply import battery_pad_hours, path_current, path_voltage
from finial.electronics.wiring import Canopy, Computer, FailingPart, Wiring
from finial.files.sheet import Sheet
from finial.structure.heat import surface_temperature

SHOWN_CUTS = 12
"""Cut sets that are handed on, likeliest first: more of them add nothing that could be seen."""


def electronics_result(sheet: Sheet) -> ElectronicsResult:
    """Answer for every firing path, battery and canopy in the sheet."""
    air = sheet.launch.temperature.estimate(KnownBy.MEASURED)
    wait_s = sheet.launch.wait_on_pad.high
    found = wiring_result(sheet_wiring(sheet.electronics, sheet.recovery, air, wait_s), air)
    return replace(found, cells_k=_cells(air, sheet.vehicle.colour or "black"))


@kept(8)
def _cells(air: Estimate, colour: str) -> Estimate:
    return cell_temperature(air, surface_temperature(air, colour=colour))


# Ballast moves on the page without a wire moving: its odds need no second look.
@kept(16)
def wiring_result(wiring: Wiring, warm_k: Estimate) -> ElectronicsResult:
    """Answer for a wiring at a temperature."""
    paths = firing_paths(wiring)
    busy = {igniter.computer for igniter in wiring.igniters}
    return ElectronicsResult(
        computers=len(wiring.computers),
        paths=tuple(_power(wiring, path) for path in _by_igniter(paths)),
        checks=tuple(_checks(wiring)),
        pad_times=tuple(
            (battery.name, hours.scaled(SECONDS_PER_HOUR))
            for battery in wiring.batteries
            if (hours := battery_pad_hours(wiring, battery.name, warm_k)) is not None
        ),
        arming=tuple(_arming(wiring, computer) for computer in wiring.computers),
        odds=tuple(_odds(wiring, paths)),
        fires_near=_fires_near(wiring, [charge.name for charge in wiring.charges]),
        single_points=_single_points(wiring, paths),
        off_event=canopies_off_event(wiring),
        without_path=canopies_without_path(wiring),
        unfired=charges_without_igniter(wiring),
        idle=tuple(one.name for one in wiring.computers if one.name not in busy),
        batteries=tuple(one.name for one in wiring.batteries),
    )


def _by_igniter(paths: tuple[FiringPath, ...]) -> list[FiringPath]:
    """One path for every igniter and canopy: switches in parallel make more, with the same current."""
    return list({(path.canopy, path.igniter): path for path in reversed(paths)}.values())[::-1]


def _power(wiring: Wiring, path: FiringPath) -> PathPower:
    igniter = next(one for one in wiring.igniters if one.name == path.igniter)
    return PathPower(
        path=path,
        current=path_current(wiring, path),
        all_fire_a=igniter.all_fire_a,
        voltage=path_voltage(wiring, path),
        least_v=wiring.computer(path.computer).least_v,
        fires_in_s=igniter.fires_in_s,
        energy_j=igniter.energy_j,
    )


def _checks(wiring: Wiring) -> Iterator[ContinuityCheck]:
    for igniter in wiring.igniters:
        yield ContinuityCheck(
            igniter=igniter.name,
            computer=igniter.computer,
            current=wiring.computer(igniter.computer).continuity_a,
            no_fire_a=igniter.no_fire_a,
            all_fire_a=igniter.all_fire_a,
        )


def _arming(wiring: Wiring, computer: Computer) -> ArmingOdds:
    def over_ends(which: str, odds: Callable[[Network], float]) -> Estimate:
        low, value, high = (odds(_network(wiring, computer, which, end)) for end in ("low", "value", "high"))
        return Estimate(value=value, low=low, high=high, known_by=KnownBy.ASSUMED, method="arming network")

    return ArmingOdds(
        computer=computer.name,
        switches=computer.arming,
        no_arming=over_ends("fails", odds_of_no_arming),
        unasked=over_ends("unasked", odds_of_unasked_arming),
    )


def _network(wiring: Wiring, computer: Computer, which: str, end: str) -> Network:
    return [
        [getattr(getattr(wiring.switch(name).rates, which), end) for name in group]
        for group in computer.arming
    ]


def _odds(wiring: Wiring, paths: tuple[FiringPath, ...]) -> Iterator[CanopyOdds]:
    for canopy in wiring.canopies:
        ways = ways_out(paths, canopy.name)
        # In order: a set's own order changes from one process to the next, and with it the last bits.
        parts = sorted(frozenset[FailingPart]().union(*ways))
        ways, odds = shaken(*with_common_causes(ways, {part: _part_odds(wiring, part) for part in parts}))
        cuts = [_cut_set(cut, odds) for cut in minimal_cut_sets(ways)]
        cuts.sort(key=lambda cut: -cut.odds.value)
        middle = {part: one.value for part, one in odds.items()}
        named = [part for part in parts if part.name != ALL_AT_ONCE]
        ratios = zip(named, doubled(ways, middle, named), strict=True)
        gains = [Doubling(part=part, ratio=ratio) for part, ratio in ratios]
        yield CanopyOdds(
            canopy=canopy.name,
            loss=loss_interval(ways, odds),
            fires_near=_fires_near(wiring, charges_of(wiring, canopy)),
            cuts=tuple(cuts[:SHOWN_CUTS]),
            doublings=tuple(sorted(gains, key=lambda one: (one.ratio, one.part))),
        )


def _part_odds(wiring: Wiring, part: FailingPart) -> Estimate:
    if part.kind is PartKind.SWITCH:
        return wiring.switch(part.name).rates.fails
    if part.kind is PartKind.LEAD:
        return _lead_odds(wiring, part.name)
    return rates_of(part.kind).fails


def _lead_odds(wiring: Wiring, igniter: str) -> Estimate:
    """Odds that the lead of an igniter opens: its wire, or one of the connectors that nobody named."""
    count = next(one.connectors for one in wiring.igniters if one.name == igniter)
    return over_corners(
        lambda wire, each: 1.0 - (1.0 - wire) * (1.0 - each) ** count,
        {"wire": rates_of(PartKind.LEAD).fails, "each": rates_of(PartKind.CONNECTOR).fails},
        method="wire and connectors, each alone enough to open the lead",
    )


def charges_of(wiring: Wiring, canopy: Canopy) -> tuple[str, ...]:
    """Charges that open a canopy's bay."""
    return tuple(charge.name for charge in wiring.charges if charge.bay == canopy.bay)


def _fires_near(wiring: Wiring, charges: Collection[str]) -> Estimate | None:
    """Odds that one of some charges fires with people near; ``None`` where no igniter stands in them."""
    ways = ways_to_fire(wiring, charges)
    parts = sorted(frozenset[FailingPart]().union(*ways))
    return odds_of_firing(ways, {part: _unasked(wiring, part) for part in parts}) if ways else None


def _unasked(wiring: Wiring, part: FailingPart) -> Estimate:
    if part.kind is PartKind.SWITCH:
        return wiring.switch(part.name).rates.unasked
    return rates_of(part.kind).unasked


def _cut_set(cut: frozenset[FailingPart], odds: Mapping[FailingPart, Estimate]) -> CutSet:
    parts = sorted(cut)
    low, value, high = (prod(getattr(odds[part], end) for part in parts) for end in ("low", "value", "high"))
    return CutSet(
        parts=tuple(parts),
        odds=Estimate(value=value, low=low, high=high, known_by=KnownBy.ASSUMED, method="all of them fail"),
    )


def _single_points(wiring: Wiring, paths: tuple[FiringPath, ...]) -> tuple[SinglePoint, ...]:
    """Parts that fail alone, each once, with all canopies they lose."""
    lost: dict[FailingPart, list[str]] = {}
    for canopy in wiring.canopies:
        ways = ways_out(paths, canopy.name)
        always = frozenset[FailingPart].intersection(*ways) if ways else frozenset[FailingPart]()
        for part in always:
            lost.setdefault(part, []).append(canopy.name)
    return tuple(SinglePoint(part=part, canopies=tuple(lost[part])) for part in sorted(lost))
