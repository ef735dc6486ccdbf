"""Will the canopy come out, hold, and set the vehicle down gently enough?"""

import math
from dataclasses import replace

from finial.assemble.recovery.results import (
    CanopyResult,
    ChargeResult,
    CordResult,
    EarlyOpening,
    OtherOpening,
    PackStudy,
    RecoveryResult,
)
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.rule import Rule, softened
from finial.recovery.joints.pins import fewest_pins
from finial.recovery.packs.packing import Fit

LANDING_SPEED, LANDING_ENERGY, IN_WIND = "landing-speed", "landing-energy", "landing-energy-in-wind"
FEWEST_PINS, USUAL_SCREW = 2, "2-56 nylon"
"""Pins that a joint has at least, and the screw they are where the sheet has none; common practice."""
STRAIGHT = Rule(
    key="pins-straight", stage="recovery", dimension=Dimension.RATIO, source="common practice: two to six"
)
PACK = Rule(
    key="pack-leaves-bay",
    stage="recovery",
    dimension=Dimension.DENSITY,
    source="pack densities from memory of Knacke, NWC TP 6575, 1991, and common practice",
    safety=True,
)
NARROWEST_MOUTH = 0.5
"""Mouth over the pack's diameter below which nothing comes out [-]; a judgement of this project."""
FITS = {Fit.LOOSE: "loose", Fit.BY_HAND: "by-hand", Fit.PRESSED: "pressed", Fit.TOO_MUCH: "too-much"}
"""Keys of the sentences on how a pack lies."""
WAITS = Rule(
    key="waits-for-height",
    stage="recovery",
    dimension=Dimension.LENGTH,
    source="the flight and its corners",
)

IN_TIME = Rule(
    key="charge-in-time",
    stage="recovery",
    dimension=Dimension.FORCE,
    source="the flights with this charge alone, against the cords",
    safety=True,
)
EARLY_S = 1.0
"""How much before a canopy's own moment another charge may come [s]; common practice: as far as two
computers differ."""


def recovery_findings(recovery: RecoveryResult, limits: Limits) -> list[Finding]:
    """Judge landing, opening, charges, pins and cords."""
    findings = _landing(recovery, limits)
    findings += [_charge(charge, limits) for charge in recovery.charges]
    findings += _all_pins(recovery, limits)
    findings += _backups(recovery, limits)
    findings += [_pack(pack) for pack in recovery.packs]
    findings += [_early(early) for early in recovery.early]
    findings += [_cord(cord, limits) for cord in recovery.cords]
    findings += [_opening(canopy, recovery, limits) for canopy in recovery.canopies]
    return findings + _others(recovery, limits)


def _rule(key: str, dimension: Dimension, source: str) -> Rule:
    return Rule(key=key, stage="recovery", dimension=dimension, source=source, safety=True)


def _landing(recovery: RecoveryResult, limits: Limits) -> list[Finding]:
    speed, energy = limits["landing_speed"], limits["landing_energy"]
    fixes = (_larger_canopy(recovery, speed.value, energy.value),)
    by_speed = _rule(LANDING_SPEED, Dimension.SPEED, speed.source)
    by_energy = _rule(LANDING_ENERGY, Dimension.ENERGY, energy.source)
    found = [
        by_speed.at_most(recovery.landing_speed, speed.value, fixes=fixes),
        softened(by_energy.at_most(recovery.landing_energy, energy.value, fixes=fixes), Verdict.CAUTION),
    ]
    return [*found, _landing_in_wind(recovery, limits)] if recovery.landings else found


def _larger_canopy(recovery: RecoveryResult, speed_m_s: float, energy_j: float) -> Fix:
    """Advise the drag area that meets both limits: speed falls with its root, energy with itself."""
    landing = recovery.landing_speed
    if landing is None or recovery.landing_energy is None:
        return Fix(key="enter-canopy")
    if speed_m_s <= 0.0 or energy_j <= 0.0:
        return Fix(key="limit-of-zero")
    largest = max((canopy.drag_area for canopy in recovery.canopies), key=lambda area: area.value)
    times = max((landing.high / speed_m_s) ** 2, recovery.landing_energy.high / energy_j, 1.0)
    area = Amount(value=largest.value * times, dimension=Dimension.AREA)
    return Fix(key="larger-canopy", facts={"area": area})


def _landing_in_wind(recovery: RecoveryResult, limits: Limits) -> Finding:
    """Judge the heaviest piece: the limit is one for each part, and the wind carries all of them."""
    energy, row = limits["landing_energy"], recovery.landings[-1]
    source = f"{energy.source}; the rule it comes from counts the fall alone"
    rule = _rule(IN_WIND, Dimension.ENERGY, source)
    judged = rule.at_most(
        row.with_wind, energy.value, subject=Subject(case=row.piece), fixes=(Fix(key="less-wind"),)
    )
    # The rule behind the limit leaves the wind out: passing it, or perhaps passing it, is a caution.
    return judged if judged.verdict is Verdict.GO else replace(judged, verdict=Verdict.CAUTION)


def _charge(charge: ChargeResult, limits: Limits) -> Finding:
    over, subject = limits["charge_over_pins"], Subject(name=charge.name)
    rule = _rule("charge-opens", Dimension.FORCE, over.source)
    facts = {"bay": charge.bay}
    if charge.powder is None or charge.force_on_joint is None:
        return rule.holds(Verdict.NOT_KNOWN, subject=subject, facts=facts, fixes=(Fix(key="enter-powder"),))
    needed = over.value * charge.resistance.high
    fix = _more_powder(charge.name, charge.powder.value * needed / charge.force_on_joint.low, "more-push")
    return rule.at_least(charge.force_on_joint, needed, subject=subject, facts=facts, fixes=(fix,))


def _more_powder(charge: str, powder_kg: float, key: str) -> Fix:
    """Advise so much powder, up to the next hundredth of a gram: what a charge pushes with grows with it."""
    grams = math.ceil(round(1e5 * powder_kg, 6)) / 100
    return Fix(
        key=key,
        facts={"powder": Amount(value=grams / 1000, dimension=Dimension.MASS)},
        changes={f"recovery.charge.{charge}.powder": f"{grams:.2f} g"},
    )


def _all_pins(recovery: RecoveryResult, limits: Limits) -> list[Finding]:
    """Judge the pins of each bay once, however many charges it has."""
    by_bay = {charge.bay: charge for charge in reversed(recovery.charges)}
    found = [_pins(charge, limits) for charge in reversed(by_bay.values())]
    return [*found, *(_straight(charge) for charge in reversed(by_bay.values()) if charge.screw)]


def _straight(charge: ChargeResult) -> Finding:
    """Judge that a joint with pins has two at least: on one alone it tilts and jams, or it does not."""
    count = exact(float(charge.pins), known_by=KnownBy.MEASURED)
    pins = {"screw": charge.screw, "count": FEWEST_PINS}
    fix = Fix(key="two", changes={f"recovery.joint.{charge.joint}.pins": pins})
    judged = STRAIGHT.at_least(count, FEWEST_PINS, subject=Subject(name=charge.joint), fixes=(fix,))
    return softened(judged, Verdict.NOT_KNOWN)


def _pack(pack: PackStudy) -> Finding:
    verdict = Verdict.GO if pack.comes_out else Verdict.CAUTION
    if pack.fit is Fit.TOO_MUCH or pack.mouth_share < NARROWEST_MOUTH:
        verdict = Verdict.NO_GO
    elif pack.mouth_share < 1.0:
        verdict = Verdict.NOT_KNOWN
    room = Amount(value=pack.room_m, dimension=Dimension.LENGTH)
    return PACK.holds(
        verdict,
        value=pack.density,
        subject=Subject(name=pack.bay),
        reasons=(FITS[pack.fit], *(("squeezed",) if pack.mouth_share < 1.0 else ())),
        fixes=(Fix(key="wider-mouth" if pack.mouth_share < 1.0 else "longer-bay", facts={"room": room}),),
    )


def _early(early: EarlyOpening) -> Finding:
    height = Amount(value=early.height_m, dimension=Dimension.LENGTH)
    return WAITS.holds(
        Verdict.CAUTION,
        value=early.top_m,
        subject=Subject(name=early.canopy),
        facts={"height": height},
        fixes=(Fix(key="below-the-top"),),
    )


def _backups(recovery: RecoveryResult, limits: Limits) -> list[Finding]:
    """Judge each backup against the charge it stands in for: it must do what that one could not."""
    powders = {charge.name: charge.powder for charge in recovery.charges}
    return [
        _backup(charge, charge.powder, first, limits)
        for charge in recovery.charges
        if charge.powder is not None and (first := powders.get(charge.backup_of)) is not None
    ]


def _backup(charge: ChargeResult, powder: Estimate, first: Estimate, limits: Limits) -> Finding:
    over = limits["backup_over_main"]
    rule = _rule("backup-larger", Dimension.MASS, over.source)
    found = rule.at_least(
        exact(powder.value, known_by=powder.known_by),
        over.value * first.value,
        subject=Subject(name=charge.name),
        facts={"first": charge.backup_of},
        fixes=(_more_powder(charge.name, over.value * first.value, "more-powder"),),
    )
    return softened(found, Verdict.CAUTION)


def _pins(charge: ChargeResult, limits: Limits) -> Finding:
    over = limits["pins_over_load"]
    rule = _rule("pins-hold", Dimension.FORCE, over.source)
    needed = over.value * charge.early_load.high
    # Without pins friction alone holds the joint until the charge.
    judged = rule.at_least(
        charge.pins_hold or charge.resistance,
        needed,
        subject=Subject(name=charge.bay),
        reasons=() if charge.pins_hold else ("no-pins",),
        fixes=(_pins_wanted(charge, needed),),
    )
    if charge.pins_hold is not None or judged.fails:
        return judged
    # Friction that suffices for these loads still knows nothing of knocks, heat and a hard start.
    return replace(judged, verdict=Verdict.NOT_KNOWN, fixes=(_pins_wanted(charge, needed),))


def _pins_wanted(charge: ChargeResult, needed_n: float) -> Fix:
    """Advise the fewest pins that hold, two at least so that the joint parts straight."""
    screw = charge.screw or USUAL_SCREW
    count = max(FEWEST_PINS, fewest_pins(screw, needed_n))
    return Fix(
        key="more-pins" if charge.screw else "pins",
        facts={"count": count, "screw": screw},
        changes={f"recovery.joint.{charge.joint}.pins": {"screw": screw, "count": count}},
    )


def _cord(cord: CordResult, limits: Limits) -> Finding:
    reserve = limits["cord_reserve"]
    rule = _rule("cord-separation", Dimension.FORCE, reserve.source)
    needed = reserve.value * cord.peak_load.high
    fix = Fix(key="stronger-cord", facts={"held": Amount(value=needed, dimension=Dimension.FORCE)})
    return rule.at_least(cord.strength, needed, subject=Subject(name=cord.name), fixes=(fix,))


def _opening(canopy: CanopyResult, recovery: RecoveryResult, limits: Limits) -> Finding:
    reserve, subject = limits["cord_reserve"], Subject(name=canopy.name)
    rule = _rule("opening-load", Dimension.FORCE, reserve.source)
    if not recovery.cords:
        return rule.holds(Verdict.NOT_KNOWN, subject=subject, fixes=(Fix(key="enter-cord"),))
    weakest = min(cord.strength.low for cord in recovery.cords)
    held = Amount(value=reserve.value * canopy.opening_load.high, dimension=Dimension.FORCE)
    fixes = (Fix(key="open-slower", facts={"held": held}),)
    return rule.at_most(canopy.opening_load, weakest / reserve.value, subject=subject, fixes=fixes)


def _others(recovery: RecoveryResult, limits: Limits) -> list[Finding]:
    """Judge charges beside a canopy's moment: backups must save it, and nothing may let it out before."""
    if not recovery.others:
        return [IN_TIME.holds(Verdict.GO, subject=Subject(name="charges"))]
    return [_other(other, recovery, limits) for other in recovery.others]


def _other(other: OtherOpening, recovery: RecoveryResult, limits: Limits) -> Finding:
    subject, fixes = Subject(name=other.charge), (Fix(key="set-event", facts={"canopy": other.canopy}),)
    weakest = min((cord.strength.low for cord in recovery.cords), default=None)
    if other.after is None or weakest is None:
        return IN_TIME.holds(Verdict.NOT_KNOWN, limit="event", subject=subject, fixes=fixes)
    lag = Amount(value=exact(abs(other.after.value)), dimension=Dimension.TIME)
    facts = {"canopy": other.canopy, "lag": lag}
    if other.after.value < -EARLY_S:
        return IN_TIME.holds(Verdict.NO_GO, subject=subject, facts=facts, reasons=("early",), fixes=fixes)
    if other.height_agl is None:
        return IN_TIME.holds(Verdict.NO_GO, subject=subject, facts=facts, reasons=("never",), fixes=fixes)
    most = weakest / limits["cord_reserve"].value
    return IN_TIME.at_most(
        other.opening_load, most, subject=subject, facts=facts, reasons=("late",), fixes=fixes
    )
