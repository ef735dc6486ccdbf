"""Will the canopy come out, hold, and set the vehicle down gently enough?"""

from dataclasses import replace

from finial.assemble.recovery.results import (
    CanopyResult,
    ChargeResult,
    CordResult,
    EarlyOpening,
    PackStudy,
    RecoveryResult,
)
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, exact
from finial.core.units import show
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened
from finial.recovery.packs.packing import Fit

GROUND_TEST = "Always ground-test the charge, by or with someone licensed and practised, before it flies."


def recovery_findings(recovery: RecoveryResult, limits: Limits, *, us_units: bool) -> list[Finding]:
    """Judge landing, opening, charges, pins and cords."""
    findings = _landing(recovery, limits, us_units)
    findings += [_charge(charge, limits, us_units) for charge in recovery.charges]
    findings += _all_pins(recovery, limits, us_units)
    findings += _backups(recovery, limits, us_units)
    findings += [_pack(pack) for pack in recovery.packs]
    findings += [_early(early, us_units) for early in recovery.early]
    findings += [_unopened(joint) for joint in recovery.unopened]
    findings += [_cord(cord, limits, us_units) for cord in recovery.cords]
    return findings + [_opening(canopy, recovery, limits, us_units) for canopy in recovery.canopies]


def _landing(recovery: RecoveryResult, limits: Limits, us_units: bool) -> list[Finding]:
    speed, energy = limits["landing_speed"], limits["landing_energy"]
    speed_rule = Rule(
        subject="recovery",
        name="landing speed",
        dimension=Dimension.SPEED,
        why="Printed walls crack at the base, and a heavy part hurts whoever stands under it.",
        source=speed.source,
        safety=True,
    )
    energy_rule = Rule(
        subject="recovery",
        name="landing energy",
        dimension=Dimension.ENERGY,
        why="What its fall gives to the ground, a car or a person when it lands in still air.",
        source=energy.source,
        safety=True,
    )
    fix = "A larger canopy, one with more drag, or a lighter vehicle."
    by_energy = energy_rule.at_most(recovery.landing_energy, energy.value, fix=fix, us_units=us_units)
    found = [
        speed_rule.at_most(recovery.landing_speed, speed.value, fix=fix, us_units=us_units),
        softened(by_energy, Verdict.CAUTION),
    ]
    if recovery.landings:
        found.append(_landing_in_wind(recovery, limits, us_units))
    return found


def _landing_in_wind(recovery: RecoveryResult, limits: Limits, us_units: bool) -> Finding:
    """Judge the heaviest piece: the limit is one for each part, and the wind carries all of them."""
    energy, row = limits["landing_energy"], recovery.landings[-1]
    rule = Rule(
        subject="recovery",
        name=f"landing energy of {row.what}, carried by the wind",
        dimension=Dimension.ENERGY,
        why="The wind carries what falls, and its speed counts like that of the fall.",
        source=f"{energy.source}; the rule it comes from counts the fall alone",
        safety=True,
    )
    fix = "Fly in less wind, or bring it down slower."
    judged = rule.at_most(row.with_wind, energy.value, fix=fix, us_units=us_units)
    # The rule behind the limit leaves the wind out: passing it, or perhaps passing it, is a caution.
    return judged if judged.verdict is Verdict.GO else replace(judged, verdict=Verdict.CAUTION)


def _charge(charge: ChargeResult, limits: Limits, us_units: bool) -> Finding:
    over = limits["charge_over_pins"]
    rule = Rule(
        subject="recovery",
        name=f"{charge.name} opens {charge.bay}",
        dimension=Dimension.FORCE,
        why=f"A charge that does not part the joint leaves the canopy inside. {GROUND_TEST}",
        source=over.source,
        safety=True,
    )
    if charge.powder is None or charge.force_on_joint is None:
        return rule.finding(Verdict.NOT_KNOWN, "parts the joint", f"Enter the powder mass of {charge.name}.")
    needed = over.value * charge.resistance.high
    fix = f"A larger charge, fewer or weaker pins, or a looser joint. {GROUND_TEST}"
    return rule.at_least(charge.force_on_joint, needed, fix=fix, us_units=us_units)


def _all_pins(recovery: RecoveryResult, limits: Limits, us_units: bool) -> list[Finding]:
    """Judge the pins of each bay once, however many charges it has."""
    by_bay = {charge.bay: charge for charge in reversed(recovery.charges) if charge.pins_hold is not None}
    return [_pins(charge, limits, us_units) for charge in reversed(by_bay.values())]


def _pack(pack: PackStudy) -> Finding:
    rule = Rule(
        subject="recovery",
        name=f"canopy can leave {pack.bay}",
        dimension=Dimension.DENSITY,
        why=f"{pack.fit.capitalize()}. A canopy that stays in its bay is no canopy.",
        source="pack densities from memory of Knacke, NWC TP 6575, 1991, and common practice",
        safety=True,
    )
    verdict = Verdict.GO if pack.comes_out else Verdict.CAUTION
    if pack.fit == Fit.TOO_MUCH.words:
        verdict = Verdict.NO_GO
    fix = f"A bay {1000 * pack.room_m:.0f} mm long, a wider one, a thinner canopy or a shorter cord."
    return rule.finding(verdict, "packed by hand, out through a mouth as wide", fix, pack.density)


def _early(early: EarlyOpening, us_units: bool) -> Finding:
    rule = Rule(
        subject="recovery",
        name=f"{early.canopy} waits for its height",
        dimension=Dimension.LENGTH,
        why="A computer set above the top of the flight lets it out at the top: it drifts all the way down.",
        source="the flight and its corners",
    )
    height = show(early.height_m, Dimension.LENGTH, us_units=us_units)
    fix = f"Set {early.canopy} well below the top, or to apogee if that is meant."
    return rule.finding(Verdict.CAUTION, f"top above {height} in every flight", fix, early.top_m)


def _unopened(joint: str) -> Finding:
    rule = Rule(
        subject="recovery",
        name=f"what opens {joint}",
        dimension=None,
        why="Its pins are in the sheet, but no charge is there to break them.",
        source="the build sheet",
        safety=True,
    )
    fix = f"Enter the charge of {joint}, or take its pins out if nothing opens it."
    return rule.finding(Verdict.NOT_KNOWN, "a charge in its bay", fix)


def _backups(recovery: RecoveryResult, limits: Limits, us_units: bool) -> list[Finding]:
    """Judge each backup against the charge it stands in for: it must do what that one could not."""
    powders = {charge.name: charge.powder for charge in recovery.charges}
    return [
        _backup(charge, first, limits, us_units)
        for charge in recovery.charges
        if charge.powder is not None and (first := powders.get(charge.backup_of)) is not None
    ]


def _backup(charge: ChargeResult, first: Estimate, limits: Limits, us_units: bool) -> Finding:
    over = limits["backup_over_main"]
    rule = Rule(
        subject="recovery",
        name=f"{charge.name} is larger than {charge.backup_of}",
        dimension=Dimension.MASS,
        why=f"A backup that equals the charge which failed may fail the same way. {GROUND_TEST}",
        source=over.source,
        safety=True,
    )
    assert charge.powder is not None
    middle = exact(charge.powder.value, known_by=charge.powder.known_by)
    fix = f"More powder in the backup, if wall and joint bear it. {GROUND_TEST}"
    found = rule.at_least(middle, over.value * first.value, fix=fix, us_units=us_units)
    return softened(found, Verdict.CAUTION)


def _pins(charge: ChargeResult, limits: Limits, us_units: bool) -> Finding:
    over = limits["pins_over_load"]
    rule = Rule(
        subject="recovery",
        name=f"pins of {charge.bay} hold until the charge",
        dimension=Dimension.FORCE,
        why="Pins that break early let drag or trapped air part the vehicle at speed.",
        source=over.source,
    )
    fix = "More or stronger pins, or a vent so that the bay's air can leave on the way up."
    return rule.at_least(charge.pins_hold, over.value * charge.early_load.high, fix=fix, us_units=us_units)


def _cord(cord: CordResult, limits: Limits, us_units: bool) -> Finding:
    reserve = limits["cord_reserve"]
    rule = Rule(
        subject="recovery",
        name=f"{cord.name} against the separation",
        dimension=Dimension.FORCE,
        why="A cord that breaks drops one half without a canopy.",
        source=reserve.source,
        safety=True,
    )
    fix = "A longer or stretchier cord, stronger webbing, or sewn ends instead of knots."
    return rule.at_least(cord.strength, reserve.value * cord.peak_load.high, fix=fix, us_units=us_units)


def _opening(canopy: CanopyResult, recovery: RecoveryResult, limits: Limits, us_units: bool) -> Finding:
    reserve = limits["cord_reserve"]
    rule = Rule(
        subject="recovery",
        name=f"opening load of {canopy.name} against the cord",
        dimension=Dimension.FORCE,
        why="The canopy's opening snatch runs through the same cord.",
        source=reserve.source,
        safety=True,
    )
    if not recovery.cords:
        return rule.finding(
            Verdict.NOT_KNOWN, "a cord in the sheet", "Enter the cord under [[recovery.cord]]."
        )
    weakest = min(cord.strength.low for cord in recovery.cords)
    fix = "Open slower: later, with a drogue, a reefed canopy, or a stronger cord."
    return rule.at_most(canopy.opening_load, weakest / reserve.value, fix=fix, us_units=us_units)
