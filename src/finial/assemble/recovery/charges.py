"""Charges, joints and pins of the sheet: what pushes, what holds, what pulls too early."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.recovery.inputs import EventStates, named
from finial.assemble.recovery.pins import joint_pins
from finial.assemble.recovery.results import CanopyResult, ChargeResult, EarlyPull, PullKind
from finial.core.constants import (
    STANDARD_PRESSURE_PA,
)
from finial.core.corners import over_corners
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread, total
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, JointEntry, PowderChargeEntry
from finial.inside.volumes import tube_room
from finial.recovery.charges.ground_testing import resistance_seen
from finial.recovery.charges.ports import Climb, port_lag
from finial.recovery.charges.powder import (
    bay_pressure,
    force_on_joint,
    free_bay_volume,
    needed_powder,
    needed_pressure,
)
from finial.recovery.charges.vent_loss import share_kept
from finial.recovery.joints.pins import (
    PinnedHalf,
    drag_separation_force,
    inertia_force,
    springback_force,
    trapped_pressure,
)

_OVERFULL_SHARE = 0.01
LOOSE_FRICTION_N = 30.0
"""Friction of a joint that the sheet says nothing of, give or take all of it; common practice."""


def charge_result(
    sheet: Sheet, charge: PowderChargeEntry, moments: EventStates, canopies: tuple[CanopyResult, ...]
) -> ChargeResult:
    """Answer for one charge: what it makes in its bay, what the bay needs, what pulls before it."""
    bay = named(sheet.recovery.bay, charge.bay)
    joint = named(sheet.recovery.joint, bay.joint)
    diameter = bay.diameter.estimate(KnownBy.MEASURED)
    holding = joint_pins(sheet, joint)
    volume = free_volume(sheet, bay)
    ambient = pressure_out(bay, sheet, moments)
    powder = charge.powder.estimate(KnownBy.WEIGHED) if charge.powder else None
    pressure = vented_pressure(bay, powder, volume, ambient) if powder else None
    resistance = joint_resistance(sheet, bay, volume)
    return ChargeResult(
        name=charge.name,
        bay=bay.name,
        powder=powder,
        needed_powder=over_corners(
            lambda powder, kept: powder / kept,
            {
                "powder": needed_powder(needed_pressure(resistance, diameter), volume),
                "kept": share_kept(vent_area(bay), volume),
            },
            method="closed form, with what the vent takes",
        ),
        pressure=pressure,
        force_on_joint=force_on_joint(pressure, diameter) if pressure else None,
        pins_hold=holding,
        resistance=resistance,
        early_load=early_load(early_pulls(sheet, bay, moments, canopies)),
        backup_of=charge.backup_of or "",
        joint=joint.name,
        screw=joint.pins.screw if joint.pins else "",
        pins=joint.pins.count if joint.pins else 0,
    )


def vent_area(bay: BayEntry) -> float:
    """Open area of a bay's vents [m^2]; none without an entry."""
    return bay.vent_area.value if bay.vent_area else 0.0


def vented_pressure(bay: BayEntry, powder_kg: Estimate, volume_m3: Estimate, ambient_pa: float) -> Estimate:
    """Pressure of a charge by the closed form, less what the vent lets go while it burns [Pa]."""
    sealed = bay_pressure(powder_kg, volume_m3, ambient_pa)
    if vent_area(bay) == 0.0:
        return sealed
    return over_corners(
        lambda pressure, kept: pressure * kept,
        {"pressure": sealed, "kept": share_kept(vent_area(bay), volume_m3)},
        method=f"{sealed.method}, less what the vent takes",
        source=sealed.source,
    )


def joint_resistance(sheet: Sheet, bay: BayEntry, volume: Estimate) -> Estimate:
    """Add pins and friction, what a charge must overcome [N]; ground tests narrow it.

    Parameters
    ----------
    sheet : Sheet
        Joints, charges and their ground tests.
    bay : BayEntry
        The bay that opens.
    volume : Estimate
        Its free volume [m^3].

    Returns
    -------
    resistance : Estimate
        Force [N].
    """
    joint = named(sheet.recovery.joint, bay.joint)
    pins = joint_pins(sheet, joint)
    found = total([joint_friction(joint), *([pins] if pins else [])], method="pins and friction of the joint")
    diameter = bay.diameter.estimate(KnownBy.MEASURED)
    for charge in sheet.recovery.charge:
        for test in charge.ground_test if charge.bay == bay.name else ():
            fired = vented_pressure(bay, test.powder.estimate(KnownBy.WEIGHED), volume, STANDARD_PRESSURE_PA)
            found = resistance_seen(found, force_on_joint(fired, diameter), parted=test.parted)
    return found


def free_volume(sheet: Sheet, bay: BayEntry) -> Estimate:
    """Free volume of a bay [m^3]: the sheet's, or its size less what is packed in it."""
    if bay.free_volume:
        return bay.free_volume.estimate(KnownBy.MEASURED)
    length = bay.stations[1].value - bay.stations[0].value
    packed = sum(canopy.mass.value for canopy in sheet.recovery.canopy if canopy.bay == bay.name)
    diameter = bay.diameter.estimate(KnownBy.MEASURED)
    try:
        return free_bay_volume(diameter, exact(length), exact(packed))
    except OutsideRange:
        return _overfull(tube_room(diameter, exact(length)))


def _overfull(empty: Estimate) -> Estimate:
    """Stand for the room of a bay that does not hold its contents, as the inside tells: from next to none."""
    return replace(
        empty,
        value=_OVERFULL_SHARE * empty.value,
        low=_OVERFULL_SHARE * empty.low,
        known_by=KnownBy.ASSUMED,
        method="a bay that does not hold what lies in it",
        inside_range=False,
    )


def joint_friction(joint: JointEntry) -> Estimate:
    """Friction of a joint [N]: the sheet's, or a usual one with all its doubt."""
    if joint.friction:
        return joint.friction.estimate(KnownBy.MEASURED)
    return spread(LOOSE_FRICTION_N, 1.0, known_by=KnownBy.ASSUMED, method="friction of a joint not given")


def pressure_out(bay: BayEntry, sheet: Sheet, moments: EventStates) -> float:
    """Air pressure where a bay opens [Pa]."""
    names = [canopy.name for canopy in sheet.recovery.canopy if canopy.bay == bay.name]
    return min((moments.out_pressure_pa[name] for name in names), default=moments.ground_pressure_pa)


def early_load(pulls: tuple[EarlyPull, ...]) -> Estimate:
    """Largest pull at the joint before its charge, with the air trapped on the way up [N]."""
    *others, air = pulls
    worst = max(others, key=lambda pull: pull.force.high)
    return total([worst.force, air.force], method=f"{worst.kind} and {air.kind}")


def early_pulls(
    sheet: Sheet, bay: BayEntry, moments: EventStates, canopies: tuple[CanopyResult, ...]
) -> tuple[EarlyPull, ...]:
    """Everything that tries to part a bay's joint before its charge [N]; trapped air stands last."""
    apart, joint = moments.apart[bay.joint], bay.joint
    drag = drag_separation_force(
        PinnedHalf(mass_kg=apart.fore_kg, drag_n=moments.drag_ahead_n[joint]),
        PinnedHalf(mass_kg=apart.aft_kg, drag_n=moments.drag_behind_n[joint]),
    )
    # Drag that presses the joint together pulls at nothing.
    pulls = [EarlyPull(kind=PullKind.DRAG, force=drag.mapped(lambda force: max(force, 0.0)))]
    back = springback_force(moments.last_thrust_n, apart.fore_kg, apart.aft_kg, moments.rebound)
    pulls.append(EarlyPull(kind=PullKind.SPRINGBACK, force=back))
    pulls += _openings_before(sheet, bay, moments, canopies)
    diameter, volume = bay.diameter.estimate(KnownBy.MEASURED), free_volume(sheet, bay)
    trapped = trapped_pressure(
        moments.ground_pressure_pa, moments.top_pressure_pa, bay_lag(bay, volume, moments)
    )
    return (*pulls, EarlyPull(kind=PullKind.TRAPPED_AIR, force=force_on_joint(trapped, diameter)))


def _openings_before(
    sheet: Sheet, bay: BayEntry, moments: EventStates, canopies: tuple[CanopyResult, ...]
) -> Iterator[EarlyPull]:
    """Canopies of other bays that open before this bay's own: the lighter side wants to fly on."""
    apart = moments.apart[bay.joint]
    own = [canopy.name for canopy in sheet.recovery.canopy if canopy.bay == bay.name]
    opens_at = min((moments.out_time_s[name] for name in own), default=0.0)
    whole = total([apart.fore_kg, apart.aft_kg])
    lighter = min(apart.fore_kg, apart.aft_kg, key=lambda half: half.value)
    for canopy in canopies:
        if canopy.name not in own and moments.out_time_s[canopy.name] < opens_at:
            slowed = canopy.opening_load.scaled(1 / whole.value)
            force = inertia_force(lighter, slowed)
            yield EarlyPull(kind=PullKind.OPENING, canopy=canopy.name, force=force)


def bay_lag(bay: BayEntry, volume: Estimate, moments: EventStates) -> float | None:
    """Pressure the bay lags behind the air outside [Pa]; ``None`` for a bay without a vent.

    Parameters
    ----------
    bay : BayEntry
        The bay and its vent.
    volume : Estimate
        Its free volume [m^3].
    moments : EventStates
        How fast the vehicle climbs, and in what air.

    Returns
    -------
    lag_pa : float or None
        Pressure [Pa].
    """
    if not bay.vent_area or bay.vent_area.value <= 0:
        return None
    climb = Climb(
        volume_m3=volume.value,
        port_area_m2=bay.vent_area.value,
        climb_m_s=moments.top_climb_m_s,
        density_kg_m3=moments.ground_density_kg_m3.value,
        temperature_k=moments.ground_temperature_k,
    )
    return port_lag(climb)
