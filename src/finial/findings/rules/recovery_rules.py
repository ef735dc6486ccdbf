"""Will the canopy come out, hold, and set the vehicle down gently enough?"""

from finial.assemble.results import CanopyResult, ChargeResult, CordResult, RecoveryResult
from finial.core.dimensions import Dimension
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened

GROUND_TEST = "Always ground-test the charge, by or with someone licensed and practised, before it flies."


def recovery_findings(recovery: RecoveryResult, limits: Limits, *, us_units: bool) -> list[Finding]:
    """Judge landing, opening, charges, pins and cords."""
    findings = _landing(recovery, limits, us_units)
    for charge in recovery.charges:
        findings += _charge(charge, limits, us_units)
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
        why="What it gives to the ground, a car or a person when it lands.",
        source=energy.source,
        safety=True,
    )
    fix = "A larger canopy, one with more drag, or a lighter vehicle."
    by_energy = energy_rule.at_most(recovery.landing_energy, energy.value, fix=fix, us_units=us_units)
    return [
        speed_rule.at_most(recovery.landing_speed, speed.value, fix=fix, us_units=us_units),
        softened(by_energy, Verdict.CAUTION),
    ]


def _charge(charge: ChargeResult, limits: Limits, us_units: bool) -> list[Finding]:
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
        return [
            rule.finding(Verdict.NOT_KNOWN, "parts the joint", f"Enter the powder mass of {charge.name}.")
        ]
    resistance = charge.resistance
    needed = over.value * resistance.high
    fix = f"A larger charge, fewer or weaker pins, or a looser joint. {GROUND_TEST}"
    findings = [rule.at_least(charge.force_on_joint, needed, fix=fix, us_units=us_units)]
    if charge.pins_hold is not None:
        findings.append(_pins(charge, limits, us_units))
    return findings


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
