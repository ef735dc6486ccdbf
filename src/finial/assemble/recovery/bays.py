"""Packs, pins and vents of each bay."""

import math
from collections.abc import Iterator

from finial.assemble.recovery.charges import (
    bay_lag,
    early_load,
    early_pulls,
    free_volume,
    joint_friction,
    vented_pressure,
)
from finial.assemble.recovery.inputs import EventStates, named
from finial.assemble.recovery.lines import sheet_cord
from finial.assemble.recovery.pins import day_share, joint_pins, pins_on_the_day
from finial.assemble.recovery.records import OtherPins, PinStudy, VentStudy
from finial.assemble.recovery.results import (
    CanopyResult,
    EarlyPull,
    PackDoubt,
    PackDoubtKind,
    PackStudy,
)
from finial.assemble.vehicle.bays import bay_contents
from finial.core.constants import STANDARD_PRESSURE_PA
from finial.core.estimates import Estimate, KnownBy, exact, total
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, CanopyEntry
from finial.recovery.charges.ports import lag_height, port_diameter
from finial.recovery.charges.powder import force_on_joint
from finial.recovery.joints.pins import fewest_pins, screw_names, trapped_pressure
from finial.recovery.packs.pack_exit import pack_friction
from finial.recovery.packs.packing import Fit, Pack, pack_density, pack_diameter, pack_fit, room_for

RULE_COUNTS = (1, 3, 4)
LEAST_PINS, MOST_PINS = 2, 8
HOLD_OVER_PULL, BREAK_OVER_HOLD = 1.5, 1.25
"""Reserves of the check: pins over what pulls early, charge over pins; common practice."""
LEAST_INSIDE = 2.0
"""Cord from the bay to the canopy's knot, in bays' lengths; common practice [-]."""
MOST_SLENDER = 4.0
"""Length over diameter beyond which a pack drags on its tube; common practice."""


def pack_study(sheet: Sheet, bay: BayEntry) -> PackStudy | None:
    """Say what lies in a bay and whether it can leave; ``None`` for a bay without a canopy."""
    canopies = [canopy for canopy in sheet.recovery.canopy if canopy.bay == bay.name]
    if not canopies:
        return None
    length = bay_length(bay)
    pack = Pack(
        contents_kg=bay_contents(sheet, bay),
        diameter_m=bay.diameter.value,
        length_m=length,
        mouth_m=bay.mouth.value if bay.mouth else bay.diameter.value,
    )
    density = pack_density(pack)
    fit = pack_fit(density.value)
    friction = pack_friction(pack) if pack.contents_kg.low > 0 else None
    across = min(pack_diameter(pack), pack.diameter_m)
    squeezed = pack.mouth_m < across * (1 - 1e-9)
    return PackStudy(
        bay=bay.name,
        contents_kg=pack.contents_kg.value,
        density=density,
        fit=fit,
        comes_out=fit <= Fit.BY_HAND and not squeezed,
        room_m=room_for(pack.contents_kg.value, pack.diameter_m),
        length_m=length,
        doubts=tuple(_doubts(sheet, bay, pack, squeezed)),
        friction=friction,
        mouth_share=min(pack.mouth_m / across, 1.0) if across > 0 else 1.0,
    )


def packed_size(sheet: Sheet, canopy: CanopyEntry) -> Pack:
    """Take a canopy and its protector in the size that the sheet gives their pack."""
    bay = named(sheet.recovery.bay, canopy.bay)
    across = (canopy.packed_across or bay.diameter).value
    protector = canopy.protector.estimate(KnownBy.WEIGHED) if canopy.protector else exact(0.0)
    return Pack(
        contents_kg=total([canopy.mass.estimate(KnownBy.WEIGHED), protector]),
        diameter_m=across,
        length_m=canopy.packed_length.value if canopy.packed_length else bay_length(bay),
        mouth_m=across,
    )


def bay_length(bay: BayEntry) -> float:
    """Length of a bay [m]."""
    return bay.stations[1].value - bay.stations[0].value


def _doubts(sheet: Sheet, bay: BayEntry, pack: Pack, squeezed: bool) -> Iterator[PackDoubt]:
    if squeezed:
        yield PackDoubt(kind=PackDoubtKind.NARROW_MOUTH, number=pack.mouth_m)
    if pack.length_m > MOST_SLENDER * pack.diameter_m:
        yield PackDoubt(kind=PackDoubtKind.SLENDER_BAY, number=pack.length_m / pack.diameter_m)
    for canopy in sheet.recovery.canopy:
        if canopy.bay == bay.name and canopy.protector is None:
            yield PackDoubt(kind=PackDoubtKind.NO_PROTECTOR, name=canopy.name)
    cords = [cord for cord in sheet.recovery.cord if cord.joint == bay.joint]
    for cord in cords:
        inside = (1 - cord.canopy_at.value) * cord.length.value
        if inside < LEAST_INSIDE * pack.length_m:
            yield PackDoubt(kind=PackDoubtKind.SHORT_INSIDE, name=cord.name, number=inside)
        if sheet_cord(cord).mass_kg_per_m is None:
            yield PackDoubt(kind=PackDoubtKind.CORD_NOT_WEIGHED, name=cord.name)
    if not cords:
        yield PackDoubt(kind=PackDoubtKind.NO_CORD)


def pin_study(
    sheet: Sheet, bay: BayEntry, moments: EventStates, canopies: tuple[CanopyResult, ...]
) -> PinStudy:
    """Set what the pins of a joint hold beside all that pulls at them."""
    joint = named(sheet.recovery.joint, bay.joint)
    sealed = trapped_pressure(moments.ground_pressure_pa, moments.top_pressure_pa)
    pulls = early_pulls(sheet, bay, moments, canopies)
    return PinStudy(
        bay=bay.name,
        joint=joint.name,
        screw=joint.pins.screw if joint.pins else "",
        count=joint.pins.count if joint.pins else 0,
        holds=joint_pins(sheet, joint),
        pulls=pulls,
        others=tuple(_other_pins(sheet, bay, pulls)),
        sealed_n=sealed.high * math.pi / 4 * bay.diameter.value**2,
    )


def _other_pins(sheet: Sheet, bay: BayEntry, pulls: tuple[EarlyPull, ...]) -> Iterator[OtherPins]:
    """For every screw the fewest pins that hold, two at least so that the joint parts straight."""
    worst = early_load(pulls).high
    friction = joint_friction(named(sheet.recovery.joint, bay.joint)).high
    volume = free_volume(sheet, bay)
    weak = [
        _weak_force(charge.powder.low, volume, bay)
        for charge in sheet.recovery.charge
        if charge.bay == bay.name and charge.powder is not None
    ]
    for screw in screw_names():
        count = max(LEAST_PINS, fewest_pins(screw, HOLD_OVER_PULL * worst / day_share(sheet).low))
        if count > MOST_PINS:
            continue
        holds = pins_on_the_day(sheet, screw, count)
        breaks = min(weak) >= BREAK_OVER_HOLD * (holds.high + friction) if weak else None
        yield OtherPins(screw=screw, count=count, holds=holds, breaks=breaks)


def _weak_force(powder_kg: float, volume: Estimate, bay: BayEntry) -> float:
    """Least force of a charge on the joint [N], by the closed form."""
    powder = exact(powder_kg, known_by=KnownBy.WEIGHED)
    pressure = vented_pressure(bay, powder, volume, STANDARD_PRESSURE_PA)
    return force_on_joint(pressure, bay.diameter.estimate(KnownBy.MEASURED)).low


def vent_study(sheet: Sheet, bay: BayEntry, moments: EventStates) -> VentStudy:
    """Vent of a bay and the holes that the trade's rule asks for."""
    volume = free_volume(sheet, bay)
    lag = bay_lag(bay, volume, moments)
    return VentStudy(
        bay=bay.name,
        volume_m3=volume.value,
        vent_m2=bay.vent_area.value if bay.vent_area else None,
        lag_pa=lag,
        lag_m=None if lag is None else lag_height(lag, moments.ground_density_kg_m3.value),
        rule_holes=tuple((count, port_diameter(volume.value, count)) for count in RULE_COUNTS),
    )
