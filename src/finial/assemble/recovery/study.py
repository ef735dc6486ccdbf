"""The closer look at the recovery: everything ``finial recovery`` prints, from one answer."""

import math
from collections.abc import Callable
from dataclasses import replace

from finial.assemble.basis import Basis
from finial.assemble.flights.parted import PARTED, parted_area
from finial.assemble.recovery.bays import pin_study, vent_study
from finial.assemble.recovery.bursts import burst_study
from finial.assemble.recovery.halves import Side, sides_of
from finial.assemble.recovery.inputs import EventStates, named
from finial.assemble.recovery.lip import lip_of
from finial.assemble.recovery.moments import late_s, recovery_moments
from finial.assemble.recovery.order import order_study
from finial.assemble.recovery.pack_exit import exit_study
from finial.assemble.recovery.records import BurstStudy, CanopyStudy, RecoveryStudy, TetherStudy
from finial.assemble.recovery.results import CanopyResult, RecoveryResult
from finial.assemble.recovery.scene import rig_of
from finial.assemble.recovery.start import (
    CALM,
    DAY,
    WINDY,
    SeparationStart,
    ShutFlights,
    joint_event,
    openings,
    shut_flights,
    unopened_distance,
)
from finial.assemble.recovery.zipper import OFFSETS_S, other_rigs, tether_study, winds
from finial.assemble.vehicle.canopies import drag_area, nominal, reefed_kind
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_recovery import CanopyEntry, CordEntry, EventEntry
from finial.recovery.canopies.descent import drop_height
from finial.recovery.canopies.inflation import Inflation, inflate, inflation_load
from finial.recovery.canopies.kinds import canopy_kind
from finial.recovery.canopies.opening import filling_time
from finial.recovery.canopies.reefing import reefed

USUAL_PARTING = Estimate(
    value=8.0, low=4.0, high=14.0, known_by=KnownBy.ASSUMED, method="parting speed without a charge entered"
)
LEAST_SPEED_M_S = 1.0
HANGS_RAD = {DAY: 0.0, WINDY: math.radians(60.0), CALM: math.radians(-60.0)}
"""How the body may hang under an earlier canopy, one way in each of the three cases [rad]."""
Tell = Callable[[str], None]


def recovery_study(
    basis: Basis, recovery: RecoveryResult, tell: Tell, *, proposes: bool = True
) -> RecoveryStudy:
    """Look closely at canopies, bays, charges, pins, vents, events and cords.

    Parameters
    ----------
    basis : Basis
        The vehicle and its flights.
    recovery : RecoveryResult
        What the quick look says.
    tell : callable
        Receives progress notes.
    proposes : bool
        Whether other builds are followed as well, to say which of them would spare a lip or a cord.
    """
    vehicle, sheet, air = basis.vehicle, basis.vehicle.sheet, basis.air
    moments = recovery_moments(basis)
    tell("following charges and openings in time")
    bays = sheet.recovery.bay
    bursts = tuple(filter(None, (burst_study(vehicle, bay, moments) for bay in bays)))
    vents = tuple(vent_study(sheet, bay, moments) for bay in bays)
    flown = shut_flights(vehicle, basis.rows, air)
    tell("following the separation from 3 s early to 5 s late; some seconds")
    found = (
        _tether(basis, recovery, (flown, cord, bursts, moments), proposes) for cord in sheet.recovery.cord
    )
    tethers = tuple(one for one in found if one is not None)
    lags = [vent.lag_m for vent in vents if vent.lag_m is not None]
    return RecoveryStudy(
        canopies=tuple(
            _canopy(recovery.descent_mass_kg, canopy, result, moments)
            for canopy, result in zip(sheet.recovery.canopy, recovery.canopies, strict=True)
        ),
        packs=recovery.packs,
        bursts=bursts,
        pins=tuple(pin_study(sheet, bay, moments, recovery.canopies) for bay in bays),
        vents=vents,
        order=order_study(vehicle, basis.flights.nominal, max(lags, default=None)),
        tethers=tethers,
        late_s=late_s(sheet),
        unopened_distance=unopened_distance(flown),
        exits=tuple(
            filter(
                None,
                (exit_study(sheet, pack, moments, recovery, bursts) for pack in recovery.packs),
            )
        ),
    )


def _canopy(
    descent_mass_kg: float, canopy: CanopyEntry, result: CanopyResult, moments: EventStates
) -> CanopyStudy:
    kind, area, diameter = reefed_kind(canopy), drag_area(canopy), nominal(canopy)
    speed = _at_least(moments.out_speed_m_s[canopy.name])
    density = moments.out_density_kg_m3[canopy.name]
    distance = kind.fill_constant.scaled(diameter.value)
    case = Inflation(
        mass_kg=descent_mass_kg,
        full_area_m2=area.value,
        filling_m=distance.value,
        projected_diameter_m=diameter.value * kind.projected_ratio,
        growth_exponent=kind.growth_exponent,
        speed_m_s=speed.value,
        density_kg_m3=density.value,
    )
    bounds = {"speed_m_s": speed, "full_area_m2": area, "filling_m": distance, "density_kg_m3": density}
    slower = reefed(canopy_kind(canopy.kind), "slider").fill_constant.scaled(diameter.value)
    return CanopyStudy(
        name=canopy.name,
        kind=canopy.kind,
        drag_area=area,
        descent_speed=result.descent_speed,
        drop_height=drop_height(result.descent_speed),
        swing_rad=kind.swing_rad,
        reefing=canopy.reefing,
        filling_time=filling_time(kind.fill_constant, diameter, speed),
        closed_form=result.opening_load,
        coupled=inflation_load(case, bounds),
        with_slider=inflation_load(replace(case, filling_m=slower.value), {**bounds, "filling_m": slower}),
        history=inflate(case),
    )


def _at_least(speed: Estimate) -> Estimate:
    """Speed that is never nothing: a canopy pulled out at rest fills as it begins to fall."""
    low = max(speed.low, LEAST_SPEED_M_S)
    return replace(speed, low=low, value=max(speed.value, low), high=max(speed.high, low))


def _tether(
    basis: Basis,
    recovery: RecoveryResult,
    given: tuple[ShutFlights, CordEntry, tuple[BurstStudy, ...], EventStates],
    proposes: bool,
) -> TetherStudy | None:
    """Study a cord; ``None`` where its joint has no bay or no charge opens it."""
    flown, cord, bursts, moments = given
    vehicle, entered = basis.vehicle, basis.vehicle.sheet.recovery
    joint = named(entered.joint, cord.joint)
    event, bays = joint_event(vehicle, joint), [bay for bay in entered.bay if bay.joint == joint.name]
    if event is None or not bays:
        return None
    canopies = [canopy for canopy in entered.canopy if canopy.bay in {bay.name for bay in bays}]
    canopy = max(canopies, key=lambda one: drag_area(one).value, default=None)
    bay = next((one for one in bays if canopy is not None and one.name == canopy.bay), bays[0])
    parting = _parting(bay.name, bursts)
    fore, aft = sides_of(vehicle, basis.rows, joint.name, joint.station.value)
    earlier = _hung_before(vehicle, recovery, event, canopy)
    if earlier is None:
        starts = openings(vehicle, flown, event, OFFSETS_S, winds())
    else:
        starts = [_hanging(one, earlier) for one in openings(vehicle, flown, event, (0.0,), winds())]
        aft = _held_by(aft, earlier) if earlier.name != PARTED else aft
    rig = rig_of((fore, aft), joint.station.value, (bay, cord, canopy), parting.value)
    rig = replace(rig, lip=lip_of(vehicle.sheet, bay, rig.line.width_m))
    result = next(one for one in recovery.cords if one.name == cord.name)
    return tether_study(
        rig, starts, result, (moments.apart[joint.name], parting), other_rigs(rig) if proposes else []
    )


def _parting(bay: str, bursts: tuple[BurstStudy, ...]) -> Estimate:
    """Speed of parting [m/s]: of the first charge that opens the joint, up to all of them at once."""
    speeds = [shot.speed for study in bursts if study.bay == bay for shot in study.shots]
    first = next((speed for speed in speeds if speed.value > 0), USUAL_PARTING)
    return replace(first, high=max([first.high, *(speed.high for speed in speeds)]))


def _hung_before(
    vehicle: LoadedVehicle, recovery: RecoveryResult, event: EventEntry, canopy: CanopyEntry | None
) -> CanopyResult | None:
    """Canopy that already lets it down when this event comes; ``None`` if this is the first."""
    if event.falling_through is None:
        return None
    others = [
        result
        for one, result in zip(vehicle.sheet.recovery.canopy, recovery.canopies, strict=True)
        if one.event.apogee and one is not canopy
    ]
    return max(others, key=lambda result: result.drag_area.value, default=_parted(vehicle, recovery))


def _parted(vehicle: LoadedVehicle, recovery: RecoveryResult) -> CanopyResult | None:
    """Stand the parted pieces' own drag in for an earlier canopy; ``None`` if they are not parted before."""
    fall = recovery.tumbling_speed
    if fall is None:
        return None
    return CanopyResult(
        name=PARTED,
        drag_area=parted_area(vehicle),
        descent_speed=fall,
        opening_speed_m_s=0.0,
        opening_load=exact(0.0),
    )


def _hanging(start: SeparationStart, earlier: CanopyResult) -> SeparationStart:
    """Return the start under an earlier canopy: a steady fall; as nobody knows how it hangs, three ways."""
    return replace(
        start,
        along_m_s=0.0,
        up_m_s=-earlier.descent_speed.value,
        angle_rad=HANGS_RAD[start.wind],
        rate_rad_s=0.0,
        hangs=True,
    )


def _held_by(side: Side, earlier: CanopyResult) -> Side:
    """Return the side with the earlier canopy's drag on it."""
    area = earlier.drag_area.value
    piece = replace(
        side.piece,
        end_on_area_m2=side.piece.end_on_area_m2 + area,
        side_on_area_m2=side.piece.side_on_area_m2 + area,
    )
    return replace(side, piece=piece)
