"""What a sheet says of its recovery that cannot be, or should not: packs, cloth, shoulders, odds, cords."""

import math
from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.flights.corners import trigger_of
from finial.assemble.recovery.bays import packed_size
from finial.assemble.recovery.lines import sheet_cord
from finial.assemble.vehicle.canopies import cloth_kg_m2, drag_area, nominal
from finial.assemble.vehicle.materials import sheet_material
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept, kept_as_read
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, CanopyEntry, CordEntry, JointEntry, PowderChargeEntry
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule, softened
from finial.materials.material import SHEET, Material
from finial.recovery.canopies.kinds import canopy_kind
from finial.recovery.charges.powder import HAND_PACK_KG_M3
from finial.recovery.packs.packing import Fit, pack_density, pack_fit

PACK = Rule(
    key="pack-size",
    stage="recovery",
    dimension=Dimension.DENSITY,
    source="pack densities from memory of Knacke, NWC TP 6575, 1991, and common practice",
    safety=True,
)
CLOTH = Rule(
    key="canopy-cloth",
    stage="recovery",
    source="common practice: cloth and lines of 25 to 70 g/m2; small canopies several times that",
    safety=True,
)
LIGHTEST_KG_M2, HEAVIEST_KG_M2 = 0.021, 0.6
"""Mass of canopies over their nominal area; outside lies a slip [kg/m^2]."""
ROLES = Rule(key="charge-roles", stage="recovery", source="the build sheet", safety=True)
SHOULDER = Rule(
    key="shoulder",
    stage="recovery",
    dimension=Dimension.LENGTH,
    source="common practice: half to a whole diameter of overlap, so that a joint neither bends nor leaks",
    safety=True,
)
LEAST_OVERLAP, USUAL_OVERLAP = 0.25, 0.5
"""Overlap of a joint over the largest of its bays [-]: less than the first is none, the second is usual."""
ODDS = Rule(
    key="own-odds",
    stage="recovery",
    source="a judgement of this project, no source: one loss in twenty flights is too many over people",
    safety=True,
)
MOST_ODDS = 0.05
MOST_UNASKED = 0.02
"""Most odds that a switch closes by itself [-]: people stand beside it then; a judgement of this project."""
SWITCH_ODDS = replace(ODDS, key="switch-odds", stage="electronics")
FLAME = Rule(
    key="bay-wall-stuff",
    stage="recovery",
    source="common practice: card, glass or phenolic tube round a charge; print softens, acrylic splinters",
    safety=True,
)
SOFT_K = 393.15
"""Softening below which hot gas is asked about [K]: 120 degC; a judgement of this project."""
COVERS = Rule(
    key="protector-covers",
    stage="recovery",
    dimension=Dimension.AREA,
    source="common practice: a cloth wrapped once round the pack and over its end",
    safety=True,
)
FLAME_CLOTH_KG_M2 = 0.10
"""Lightest cloth that keeps a flame off [kg/m^2]; woven aramid is sold from 110 to 270 g/m^2, from memory."""
LEAST_COVERED = 0.5
"""Share of that wrap below which it keeps nothing off [-]; a judgement of this project."""
DRAGS = Rule(
    key="canopy-drag",
    stage="recovery",
    dimension=Dimension.RATIO,
    source="drag coefficients of kinds from memory of Knacke, NWC TP 6575, 1991, tables 5-1 and 5-2",
    safety=True,
)
MORE_DRAG, TESTED_DRAG = 1.2, 1.6
"""How much more than its kind a canopy may drag [-], by the sheet and by a drop of the builder's own; a
judgement of this project: fabrics and lines explain a fifth, another area to count on explains twice."""
NO_CANOPY = 3.0
"""Times beyond that no cloth drags so: another unit, or another area [-]; a judgement of this project."""
PULL_TEST = Rule(
    key="pull-test-cord",
    stage="recovery",
    dimension=Dimension.FORCE,
    source="the cord's own breaking load",
)
CORD_MASS = Rule(
    key="cord-mass",
    stage="recovery",
    source="fibres: ropes of the strongest hold 2 N/tex, from memory; cords of rubber some hundredths",
)
WEAKEST_N_PER_TEX, STRONGEST_N_PER_TEX = 0.01, 2.2
"""What cords hold over their mass for each length, from rubber to the strongest fibre."""
TEX_KG_M = 1e-6


# No slider moves what these read.
@kept_as_read(4)
def recovery_doubts_findings(sheet: Sheet) -> tuple[Finding, ...]:
    """Judge sizes and roles that the physics would take as they are."""
    recovery = sheet.recovery
    return (
        *(_pack(sheet, canopy) for canopy in recovery.canopy if canopy.packed_length is not None),
        *(_cloth(canopy) for canopy in recovery.canopy),
        *(_drags(canopy) for canopy in recovery.canopy),
        *_covered(sheet),
        *_bay_walls(sheet),
        *_roles(recovery.charge),
        *(_shoulder(joint, recovery.bay) for joint in recovery.joint),
        _odds(sheet),
        _switch_odds(sheet),
        *_pull_tests(sheet),
        *(_cord_mass(cord) for cord in recovery.cord),
    )


def _pack(sheet: Sheet, canopy: CanopyEntry) -> Finding:
    """Judge the density of a pack by the size that the sheet gives it."""
    density = pack_density(packed_size(sheet, canopy))
    fit = pack_fit(density.high)
    verdicts = {Fit.LOOSE: Verdict.GO, Fit.BY_HAND: Verdict.GO, Fit.PRESSED: Verdict.NOT_KNOWN}
    return PACK.holds(
        verdicts.get(fit, Verdict.NO_GO),
        value=density,
        margin=1 - density.high / HAND_PACK_KG_M3,
        subject=Subject(name=canopy.name),
        facts={"most": Amount(value=HAND_PACK_KG_M3, dimension=Dimension.DENSITY)},
        fixes=(Fix(key="measure"),),
    )


@kept(16)
def _cloth(canopy: CanopyEntry) -> Finding:
    """Judge the mass of a canopy over its area."""
    cloth = cloth_kg_m2(canopy).value
    spare = min(cloth / LIGHTEST_KG_M2 - 1, 1 - cloth / HEAVIEST_KG_M2)
    return CLOTH.holds(
        Verdict.GO if spare >= 0 else Verdict.NOT_KNOWN,
        margin=spare,
        subject=Subject(name=canopy.name),
        facts={"grams": round(1000 * cloth)},
        fixes=(Fix(key="weigh"),),
    )


def _roles(charges: tuple[PowderChargeEntry, ...]) -> Iterator[Finding]:
    """Judge that two charges of one bay at one moment know which of them stands in for the other."""
    firsts: dict[tuple[str, tuple[str, float]], list[str]] = {}
    for charge in charges:
        if charge.backup_of is None:
            firsts.setdefault((charge.bay, trigger_of(charge.event)), []).append(charge.name)
    for (bay, _), names in firsts.items():
        verdict = Verdict.NOT_KNOWN if len(names) > 1 else Verdict.GO
        fix = Fix(key="say", facts={"charges": ", ".join(names)})
        yield ROLES.holds(verdict, subject=Subject(name=bay), fixes=(fix,))


@kept(16)
def _shoulder(joint: JointEntry, bays: tuple[BayEntry, ...]) -> Finding:
    """Judge how far the two sides of a joint overlap."""
    widest = max((bay.diameter.value for bay in bays if bay.joint == joint.name), default=0.0)
    usual, subject = USUAL_OVERLAP * widest, Subject(name=joint.name)
    if joint.shoulder is None:
        return SHOULDER.holds(Verdict.NOT_KNOWN, limit="told", subject=subject, fixes=(Fix(key="enter"),))
    fix = Fix(
        key="longer",
        facts={"usual": Amount(value=usual, dimension=Dimension.LENGTH)},
        changes={f"recovery.joint.{joint.name}.shoulder": f"{math.ceil(1000 * usual)} mm"},
    )
    overlap = exact(joint.shoulder.value, known_by=KnownBy.MEASURED)
    judged = SHOULDER.at_least(overlap, usual, subject=subject, fixes=(fix,))
    return judged if overlap.value < LEAST_OVERLAP * widest else softened(judged, Verdict.CAUTION)


def _odds(sheet: Sheet) -> Finding:
    """Judge the builder's own odds that a canopy is lost."""
    scatter = sheet.scatter
    odds = (scatter.canopy_stays_in, scatter.canopy_stays_bundled)
    if not any(odds):
        return ODDS.holds(Verdict.GO, limit="none")
    lost = exact(sum(one.high for one in odds if one), known_by=KnownBy.MEASURED)
    return ODDS.at_most(lost, MOST_ODDS, fixes=(Fix(key="mend"),))


def _pull_tests(sheet: Sheet) -> Iterator[Finding]:
    """Doubt a pull test whose cord would have torn before the lip."""
    for bay in sheet.recovery.bay:
        test = bay.lip.pull_test if bay.lip else None
        for cord in sheet.recovery.cord:
            if test is not None and cord.joint == bay.joint:
                pulled = exact(test.tension.value, known_by=KnownBy.MEASURED)
                yield _pull_test(bay.name, cord, pulled)


def _pull_test(bay: str, cord: CordEntry, pulled: Estimate) -> Finding:
    held = sheet_cord(cord).breaking_load_n.high
    subject, facts = Subject(name=bay), {"cord": cord.name}
    found = PULL_TEST.at_most(pulled, held, subject=subject, facts=facts, fixes=(Fix(key="look"),))
    return replace(found, verdict=min(found.verdict, Verdict.NOT_KNOWN))


@kept(16)
def _cord_mass(cord: CordEntry) -> Finding:
    """Judge a cord's strength over its mass: no fibre holds more than so much."""
    line = sheet_cord(cord)
    subject = Subject(name=cord.name)
    if line.mass_kg_per_m is None:
        return CORD_MASS.holds(Verdict.CAUTION, subject=subject, limit="told", fixes=(Fix(key="enter"),))
    holds = line.breaking_load_n.value / (line.mass_kg_per_m / TEX_KG_M)
    spare = min(holds / WEAKEST_N_PER_TEX - 1, 1 - holds / STRONGEST_N_PER_TEX)
    return CORD_MASS.holds(
        Verdict.GO if spare >= 0 else Verdict.NOT_KNOWN,
        margin=spare,
        subject=subject,
        facts={"holds": Amount(value=float(f"{holds:.2g}"))},
        fixes=(Fix(key="weigh"),),
    )


def _covered(sheet: Sheet) -> Iterator[Finding]:
    """Judge that the cloth between a pack and the flame is large enough to wrap it."""
    for canopy in sheet.recovery.canopy:
        if canopy.protector is None:
            continue  # told of where it is missing
        pack = packed_size(sheet, canopy)
        wrap = math.pi * pack.diameter_m * (pack.length_m + pack.diameter_m / 4)
        cloth = canopy.protector.estimate(KnownBy.WEIGHED).scaled(1.0 / FLAME_CLOTH_KG_M2)
        fixes = (Fix(key="larger"),)
        judged = COVERS.at_least(cloth, wrap, subject=Subject(name=canopy.name), fixes=fixes)
        yield judged if cloth.value < LEAST_COVERED * wrap else softened(judged, Verdict.NOT_KNOWN)


def _bay_walls(sheet: Sheet) -> Iterator[Finding]:
    for bay in sheet.recovery.bay:
        charges = [one for one in sheet.recovery.charge if one.bay == bay.name]
        if bay.material is not None and charges:  # told of where it is missing
            yield _bay_wall(bay, sheet_material(sheet, bay.material), charges)


def _bay_wall(bay: BayEntry, stuff: Material, charges: list[PowderChargeEntry]) -> Finding:
    """Judge what a charge burns against: nothing that splinters, and with a shot what softens."""
    shot = all(any(test.parted for test in one.ground_test) for one in charges)
    splinters = stuff.kind == SHEET and stuff.brittle_below_k is not None
    softens = stuff.softens_k is not None and stuff.softens_k.low < SOFT_K
    reason = "splinters" if splinters else "softens" if softens else ""
    asked = splinters or (softens and not shot)
    caution = Verdict.CAUTION if softens else Verdict.GO
    verdict = Verdict.NOT_KNOWN if asked else caution
    return FLAME.holds(
        verdict,
        subject=Subject(name=bay.name),
        facts={"stuff": stuff.name},
        reasons=(reason,) if reason else (),
        fixes=(Fix(key="liner"),),
    )


@kept(16)
def _drags(canopy: CanopyEntry) -> Finding:
    """Judge the drag of a canopy on all its cloth against what its kind has; far beyond it nothing is one."""
    drag = exact(drag_area(canopy).value / (math.pi / 4 * nominal(canopy).value ** 2))
    more = TESTED_DRAG if canopy.drop_test else MORE_DRAG
    most = more * canopy_kind(canopy.kind).drag_coefficient.high
    far = drag.value > NO_CANOPY * most
    judged = replace(DRAGS, urgent=far).at_most(
        drag, most, subject=Subject(name=canopy.name), fixes=(Fix(key="look"),)
    )
    return judged if far else softened(judged, Verdict.NOT_KNOWN)


def _switch_odds(sheet: Sheet) -> Finding:
    """Judge the builder's own counts of switches that fail, the worst of them by its own limit."""
    counted = [
        (count.high / most, count.high, most, switch.name)
        for switch in sheet.electronics.switch
        for count, most in ((switch.fails_open, MOST_ODDS), (switch.fails_closed, MOST_UNASKED))
        if count is not None
    ]
    if not counted:
        return SWITCH_ODDS.holds(Verdict.GO, limit="none", subject=Subject(name="switches"))
    _, worst, most, name = max(counted)
    odds = exact(worst, known_by=KnownBy.MEASURED)
    return SWITCH_ODDS.at_most(odds, most, subject=Subject(name=name), fixes=(Fix(key="another"),))
