"""What the sheet leaves open: parts of the recovery, igniters, arming switches, test bars, the nozzle."""

import math
from dataclasses import replace

from finial.assemble.flights.corners import trigger_of
from finial.assemble.vehicle.materials import sheet_material
from finial.core.dimensions import Dimension
from finial.core.errors import MissingData
from finial.core.estimates import exact
from finial.core.kept_parts import kept_as_read
from finial.electronics.rates import Rest
from finial.files.sheet import Sheet
from finial.files.sheet_body import OwnMaterialEntry
from finial.files.sheet_recovery import PowderChargeEntry, SwitchEntry
from finial.findings.finding import Amount, Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule
from finial.findings.rules.recovery_parts_rules import recovery_parts_findings
from finial.materials.material import PRINTED, Material, material

SWITCHES = Rule(
    key="arming-switches",
    stage="electronics",
    source="High Power Rocket Safety Code, August 2012: firing circuits inhibited until in launch position",
    safety=True,
)
AT_REST = Rule(
    key="switch-at-rest",
    stage="electronics",
    source="common practice: what is drawn out before the flight closes the switch, and stays out",
    safety=True,
)
WIRED = Rule(key="wired-in", stage="electronics", source="the build sheet", safety=True)
PRINTED_STUFF = Rule(key="printed-stuff", stage="strength", source="the table of materials", safety=True)
FEWEST_BARS = 5
"""Test bars that a strength stands on at least [-], ISO 527-1."""
BARS = Rule(
    key="test-bars",
    stage="strength",
    source="ISO 527-1: five test pieces at least, in each direction; from memory, not re-read",
)
MOST_TIMES, MOST_WARMER_K = 2.0, 20.0
"""How far above the tables own numbers may lie: strength and stiffness by a factor [-], softening by so much
[K]; a judgement of this project: prints of one plastic do not differ more."""
DENSITY_TIMES = 1.25
"""How far off the tables an own density may lie, either way [-]; a judgement of this project: fillers and
pores of one stuff make a tenth or two."""
FAR_TIMES = 2.0
"""How many times past that an own number is another unit [-]; a judgement of this project."""
OWN_NUMBERS = Rule(
    key="own-numbers",
    stage="strength",
    source="the table of materials: at most twice as strong or as stiff, as heavy, and 20 K more",
    safety=True,
)
ACROSS_JOINT = Rule(
    key="buttons-across-joint",
    stage="flight",
    source="common practice: both buttons on the half that holds the motor",
    safety=True,
)
FIRED = Rule(key="charge-fired", stage="electronics", source="the build sheet", safety=True)
BACKUP = Rule(
    key="backup-independent",
    stage="electronics",
    source="common practice: a second computer, battery and switch, plugged in by themselves",
    safety=True,
)
DEEPEST = 2.0
"""Motor diameters inside the tail beyond which the flame plays on its walls [-]; common practice."""
NOZZLE = Rule(
    key="exhaust-clear",
    stage="shape",
    dimension=Dimension.LENGTH,
    source="common practice: no deeper than a motor diameter",
)


def build_findings(sheet: Sheet, *, motor_diameter_m: float, length_m: float) -> list[Finding]:
    """Judge what the recovery has, who fires it, arming switches, own test bars, where the exhaust leaves."""
    return [
        *recovery_parts_findings(sheet),
        *_beside_recovery(sheet, motor_diameter_m, length_m),
    ]


# No slider moves what these read.
@kept_as_read(4)
def _beside_recovery(sheet: Sheet, motor_diameter_m: float, length_m: float) -> tuple[Finding, ...]:
    return (
        *_fired(sheet),
        *_backups(sheet),
        *_switches(sheet),
        *_at_rest(sheet),
        _wired(sheet),
        _printed(sheet),
        *(_bars(own) for own in sheet.material if own.along is not None or own.across is not None),
        *(_own_numbers(own) for own in sheet.material),
        *_across_joint(sheet),
        _nozzle(length_m - sheet.motor.nozzle_station.value, motor_diameter_m),
    )


def _fired(sheet: Sheet) -> list[Finding]:
    """Judge that an igniter fires every charge, at the charge's own event."""
    return [_charge_fired(sheet, charge) for charge in sheet.recovery.charge]


def _charge_fired(sheet: Sheet, charge: PowderChargeEntry) -> Finding:
    firing = [igniter for igniter in sheet.electronics.igniter if igniter.fires == charge.name]
    other = [igniter.name for igniter in firing if trigger_of(igniter.event) != trigger_of(charge.event)]
    fix = Fix(key="set-event", facts={"igniters": ", ".join(other)}) if firing else Fix(key="enter")
    verdict = Verdict.GO if firing and not other else Verdict.NO_GO
    return FIRED.holds(verdict, subject=Subject(name=charge.name), fixes=(fix,))


def _backups(sheet: Sheet) -> list[Finding]:
    """Judge that a backup shares no computer, battery, switch or plug with the charge it stands in for."""
    return [
        _independent(sheet, charge)
        for charge in sheet.recovery.charge
        if charge.backup_of is not None and sheet.electronics.igniter
    ]


def _independent(sheet: Sheet, charge: PowderChargeEntry) -> Finding:
    shared = sorted(_chain(sheet, charge.name) & _chain(sheet, charge.backup_of or ""))
    fix = Fix(key="own-parts", facts={"shared": ", ".join(shared)})
    return BACKUP.holds(
        Verdict.NO_GO if shared else Verdict.GO,
        subject=Subject(name=charge.name),
        facts={"first": charge.backup_of or ""},
        fixes=(fix,),
    )


def _chain(sheet: Sheet, charge: str) -> set[str]:
    """Name every computer, battery, switch and plug that some igniter of a charge hangs on."""
    igniters = [igniter for igniter in sheet.electronics.igniter if igniter.fires == charge]
    computers = {igniter.computer for igniter in igniters}
    hung = [computer for computer in sheet.electronics.computer if computer.name in computers]
    switches = {name for computer in hung for group in computer.arming for name in group}
    plugs = {name for one in (*hung, *igniters) for name in one.plugs}
    return {name for computer in hung for name in (computer.name, computer.battery)} | switches | plugs


def _switches(sheet: Sheet) -> list[Finding]:
    """Tell which computers no switch keeps from being armed."""
    if not sheet.electronics.computer:
        return []
    live = [computer.name for computer in sheet.electronics.computer if not computer.arming]
    fix = Fix(key="give-switch", facts={"computers": ", ".join(live)})
    return [SWITCHES.holds(Verdict.NO_GO if live else Verdict.GO, fixes=(fix,))]


def _at_rest(sheet: Sheet) -> list[Finding]:
    """Judge that a computer stays awake once pin or magnet comes away, as it may in flight.

    One whose slips the builder has counted is judged by that count, and told as a caution.
    """
    switches = {one.name: one for one in sheet.electronics.switch}
    alone: list[SwitchEntry] = []
    for computer in sheet.electronics.computer:
        groups = [[switches[name] for name in group if name in switches] for group in computer.arming]
        alone += [one for group in groups if all(_opens(two) for two in group) for one in group]
    if not sheet.electronics.computer:
        return []
    uncounted = [one.name for one in alone if one.fails_open is None]
    verdict = Verdict.NOT_KNOWN if uncounted else Verdict.CAUTION if alone else Verdict.GO
    names = ", ".join(dict.fromkeys(uncounted or [one.name for one in alone]))
    return [AT_REST.holds(verdict, subject=Subject(name=names), fixes=(Fix(key="turn-round"),))]


def _opens(switch: SwitchEntry) -> bool:
    return switch.rest == Rest.OPEN


def _wired(sheet: Sheet) -> Finding:
    """Judge that switches, batteries and ports are in some path: one that is in none was meant for one."""
    computers = sheet.electronics.computer
    used = {computer.battery for computer in computers}
    used |= {name for computer in computers for group in computer.arming for name in group}
    used |= {computer.port for computer in computers}
    told = (*sheet.electronics.switch, *sheet.electronics.battery, *sheet.electronics.port)
    idle = [one.name for one in told if one.name not in used]
    fix = Fix(key="wire", facts={"idle": ", ".join(idle)})
    return WIRED.holds(Verdict.NOT_KNOWN if idle else Verdict.GO, fixes=(fix,))


def _printed(sheet: Sheet) -> Finding:
    """Judge that what is printed is of a plastic that can be: wood and metal have no walls and infill."""
    stuffs = {part.name: sheet_material(sheet, part.material) for part in sheet.part if part.print}
    other = [name for name, stuff in stuffs.items() if stuff.kind != PRINTED]
    fix = Fix(key="mend", facts={"parts": ", ".join(other)})
    return PRINTED_STUFF.holds(Verdict.NOT_KNOWN if other else Verdict.GO, fixes=(fix,))


def _bars(own: OwnMaterialEntry) -> Finding:
    """Judge how many bars a strength stands on."""
    enough = own.bars is not None and own.bars >= FEWEST_BARS
    return BARS.holds(
        Verdict.GO if enough else Verdict.CAUTION,
        value=None if own.bars is None else exact(float(own.bars)),
        subject=Subject(name=own.name),
        facts={"fewest": FEWEST_BARS},
        fixes=(Fix(key="break-more"),),
    )


def _own_numbers(own: OwnMaterialEntry) -> Finding:
    """Judge own numbers against those of their kind: far above lies another unit, or another plastic.

    A print is weaker across its layers than along them: where the bars say otherwise, the two were swapped.
    """
    like = material(own.like or own.name)
    times = _times_off(own, like)
    doubted = [key for key, off in times.items() if off > 1.0]
    if own.along is not None and own.across is not None and own.across.value > own.along.value:
        doubted += ["along", "across"]
    if _is_masked(own.name, like):
        doubted.append("like")
    far = any(off > FAR_TIMES for off in times.values())
    verdict = Verdict.NOT_KNOWN if doubted else Verdict.GO
    return replace(OWN_NUMBERS, urgent=far).holds(
        Verdict.NO_GO if far else verdict,
        subject=Subject(name=own.name),
        facts={"like": like.name, "keys": ", ".join(dict.fromkeys(doubted))},
        fixes=(Fix(key="look"),),
    )


def _times_off(own: OwnMaterialEntry, like: Material) -> dict[str, float]:
    """How far past what is usual for its kind each own number lies, over that [-]: above one is past it."""
    most = {
        "along": (own.along, MOST_TIMES * like.ultimate_pa.high),
        "across": (own.across, MOST_TIMES * (like.upright_pa or like.ultimate_pa).high),
        "modulus": (own.modulus, MOST_TIMES * like.modulus_pa.high),
        "softens": (own.softens, like.softens_k.high + MOST_WARMER_K if like.softens_k else math.inf),
    }
    times = {key: given.value / limit for key, (given, limit) in most.items() if given is not None}
    if own.density is not None:
        heavy = own.density.value / like.density_kg_m3.high
        light = like.density_kg_m3.low / own.density.value
        times["density"] = max(heavy, light) / DENSITY_TIMES
    return times


def _is_masked(name: str, like: Material) -> bool:
    """Whether a name of the tables is given to what is like another stuff."""
    try:
        return material(name).name != like.name
    except MissingData:
        return False


def _across_joint(sheet: Sheet) -> list[Finding]:
    """Judge that no joint that comes apart lies between the buttons: it bends as the rail pushes."""
    if sheet.guide is None:
        return []
    stations = [button.value for button in sheet.guide.buttons]
    between = [
        joint.name for joint in sheet.recovery.joint if min(stations) < joint.station.value < max(stations)
    ]
    facts = {"joints": ", ".join(between)}
    return [
        ACROSS_JOINT.holds(
            Verdict.CAUTION if between else Verdict.GO,
            facts=facts,
            reasons=("between",) if between else (),
            fixes=(Fix(key="one-half"),),
        )
    ]


def _nozzle(inside_m: float, motor_diameter_m: float) -> Finding:
    """Judge how far the nozzle stands inside the base: a motor diameter at most."""
    fix = Fix(key="move-aft", facts={"inside": Amount(value=inside_m, dimension=Dimension.LENGTH)})
    verdict = Verdict.CAUTION if inside_m > motor_diameter_m else Verdict.GO
    if inside_m > DEEPEST * motor_diameter_m:
        verdict = Verdict.NO_GO
    return NOZZLE.holds(verdict, value=exact(inside_m), fixes=(fix,))
