"""Load cases beyond those of every check: rail, thrust that stops, parting, opening, landing, lifting."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.mass.lumps import half_of, roll_lumps
from finial.assemble.recovery.records import RecoveryStudy
from finial.assemble.recovery.results import ChargeResult, RecoveryResult
from finial.assemble.stability.results import StabilityPoint
from finial.assemble.strength.cases import (
    CUTS,
    LoadCase,
    Masses,
    gust_scatter,
    half_case,
    pulled_half,
    thrust_force,
    thrust_scatter,
    whole_case,
)
from finial.assemble.strength.forces import AirForces
from finial.assemble.strength.pulls import slanted, station_of
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, spread, total
from finial.flight.trace import EventKind, Trace
from finial.mass.lumps import Lumps
from finial.shape.measures import section_at
from finial.shape.skin import Skin
from finial.structure.loads.along_body import free_body_loads
from finial.structure.loads.case import Case, Half, Load
from finial.structure.loads.forces import PointForce
from finial.structure.loads.landing import EdgeBlow, Touchdown, edge_blow, ground_gives, touchdown_force
from finial.structure.loads.supports import button_reactions, two_supports
from finial.structure.loads.thrust_end import axial_period, rebound_share, tail_off
from finial.structure.walls.torsion import torsion_along

DENT_SHARE = 0.05
"""Share of the length next to the blow that counts as the edge itself [-]; chosen."""
LANDING_TILT_RAD = math.radians(45.0)
"""Angle between the body's axis and the blow when it lands on an edge [rad]; assumed."""
SCUFF = 0.4
"""Sideways drag of the ground over the blow [-]; assumed: turf on plastic."""
JERK = Estimate(
    value=1.5, low=1.0, high=2.0, known_by=KnownBy.ASSUMED, method="jerk when lifted over the weight"
)
ENDS_SHARE = 0.02
"""How far from its ends a body lying down is held [-] of its length; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseInputs:
    """What the further load cases are made from."""

    masses: Masses
    air: AirForces
    trace: Trace
    rail_exit: StabilityPoint | None
    recovery: RecoveryResult
    study: RecoveryStudy | None
    """The recovery followed in time; ``None`` where it was not."""
    axial_stiffness_n: float
    """Mean axial stiffness of walls and rods [N]."""


def further_cases(given: CaseInputs) -> tuple[LoadCase, ...]:
    """Every further case that the sheet says enough for."""
    return (
        *_on_the_rail(given),
        _thrust_stops(given),
        *_partings(given),
        *_openings(given),
        *_landings(given),
        _lifted(given),
    )


def _on_the_rail(given: CaseInputs) -> Iterator[LoadCase]:
    """Wind across at the end of the rail, both buttons still on it."""
    masses, trace, point = given.masses, given.trace, given.rail_exit
    vehicle, guide = masses.vehicle, masses.vehicle.sheet.guide
    if guide is None or point is None or len(guide.buttons) < 2:
        return
    pressure = float(np.interp(point.time_s, trace.times_s, trace.dynamic_pressures_pa))
    forces = given.air.all_at(pressure, point.alpha_rad)
    forces.append(thrust_force(vehicle, float(np.interp(point.time_s, trace.times_s, trace.thrusts_n))))
    places = [button.value for button in guide.buttons]
    buttons = min(places), max(places)
    held = button_reactions(masses.loaded, forces, buttons)
    forces += [PointForce(station_m=at, cross_n=force) for at, force in zip(buttons, held, strict=True)]
    loads = free_body_loads(masses.loaded, forces, cuts_m=masses.cuts_m)
    factors = thrust_scatter(vehicle), gust_scatter()
    yield LoadCase(body=whole_case(Case(load=Load.RAIL_WIND), loads, factors), dynamic_pressure_pa=pressure)


def _thrust_stops(given: CaseInputs) -> LoadCase:
    """Thrust falls away and the squeezed body springs back, drag still on it."""
    masses, trace = given.masses, given.trace
    vehicle = masses.vehicle
    fall_s, last_n = tail_off(vehicle.motor.times_s, vehicle.motor.thrusts_n)
    period = axial_period(given.axial_stiffness_n, vehicle.skin.length_m, masses.empty.mass_kg)
    burnout = trace.event(EventKind.BURNOUT)
    pressure = float(np.interp(burnout.time_s if burnout else 0.0, trace.times_s, trace.dynamic_pressures_pa))
    forces = given.air.drag(pressure, burning=False)
    forces.append(thrust_force(vehicle, -rebound_share(fall_s, period) * last_n))
    loads = free_body_loads(masses.empty, forces, cuts_m=masses.cuts_m)
    falls = spread(1.0, 0.5, known_by=KnownBy.ASSUMED, method="how fast the thrust falls")
    return LoadCase(
        body=whole_case(Case(load=Load.THRUST_STOPS), loads, (falls, gust_scatter())),
        dynamic_pressure_pa=pressure,
    )


def _partings(given: CaseInputs) -> Iterator[LoadCase]:
    """Charges of each bay push the two halves of its joint apart, a first one and its backups together."""
    sheet = given.masses.vehicle.sheet
    for bay in sheet.recovery.bay:
        force = parting_force(given, bay.name)
        if force is None:
            continue
        station = station_of(sheet, bay.joint)
        for half in (Half.AFT, Half.FORE):
            # The charge pushes the half ahead forward and the half behind aft.
            push = PointForce(station_m=station, aft_n=force.value * (-1.0 if half is Half.FORE else 1.0))
            case = Case(load=Load.CHARGE_PUSHES, subject=bay.name, half=half)
            yield from half_case(given.masses, station, case, [push], (force, force))


def parting_force(given: CaseInputs, bay: str) -> Estimate | None:
    """Largest force on a bay's joint [N]: as the charges were followed in time, else all of them together."""
    together = all_together(given.recovery.charges, bay, "force_on_joint")
    followed = [burst for burst in given.study.bursts if burst.bay == bay] if given.study else []
    if together is None or not followed:
        return together
    peak = max(burst.joint_peak_n for burst in followed)
    return replace(together, high=max(together.high, peak), method="charges together; followed in time")


def all_together(charges: tuple[ChargeResult, ...], bay: str, what: str) -> Estimate | None:
    """Sum of a first charge's number and its backups', the hardest in a bay; ``None`` without charges.

    Parameters
    ----------
    charges : tuple of ChargeResult
        All of the vehicle.
    bay : str
        Name of the bay.
    what : str
        Field of the results to add.

    Returns
    -------
    most : Estimate or None
        In that field's own unit, such as [N] or [Pa].
    """
    own = [charge for charge in charges if charge.bay == bay and getattr(charge, what) is not None]
    firsts = {charge.backup_of or charge.name for charge in own}
    sums = [
        total(getattr(one, what) for one in own if first in (one.name, one.backup_of))
        for first in sorted(firsts)
    ]
    return max(sums, key=lambda force: force.high, default=None)


def _openings(given: CaseInputs) -> Iterator[LoadCase]:
    """Each canopy opens and pulls the half it hangs from, along and across."""
    sheet = given.masses.vehicle.sheet
    bays = {bay.name: bay for bay in sheet.recovery.bay}
    opened = zip(sheet.recovery.canopy, given.recovery.canopies, strict=True)
    for canopy, found in opened:
        others = [one.opening_load for one in given.recovery.others if one.canopy == canopy.name]
        load = max([found.opening_load, *others], key=lambda load: load.high)
        station = station_of(sheet, bays[canopy.bay].joint)
        for half in (Half.AFT, Half.FORE):
            case = Case(load=Load.CANOPY_OPENS, subject=canopy.name, half=half)
            yield from pulled_half(given.masses, station, case, slanted(load))


def _landings(given: CaseInputs) -> Iterator[LoadCase]:
    """Each half touches down on the edge that hangs lowest, leaning, falling and carried by the wind."""
    speed = given.recovery.ground_speed or given.recovery.landing_speed
    if speed is None or speed.value <= 0:
        return
    vehicle, whole = given.masses.vehicle, given.masses.empty
    joints = [joint.station.value for joint in vehicle.sheet.recovery.joint]
    length = vehicle.skin.length_m
    if not joints:
        yield _landing(given, whole, ((0.0, length), length), speed, None)
        return
    station = max(joints, key=lambda joint: min(joint, length - joint))
    halves = ((Half.AFT, -1.0, (station, length), length), (Half.FORE, 1.0, (0.0, station), 0.0))
    for half, sign, ends, edge in halves:
        body = half_of(whole, station, sign)
        if body is not None:
            yield _landing(given, body, (ends, edge), speed, half)


def _landing(
    given: CaseInputs,
    body: Lumps,
    where: tuple[tuple[float, float], float],
    speed: Estimate,
    half: Half | None,
) -> LoadCase:
    vehicle, (ends, edge_m) = given.masses.vehicle, where
    skin = vehicle.skin
    blow = edge_blow(ends, edge_m, edge_radius_m(skin, edge_m), LANDING_TILT_RAD)
    force = _blow_force(body, blow, speed, vehicle.sheet.launch.ground)
    value, radius = force.value, blow.offset_m
    hit = PointForce(
        station_m=edge_m,
        aft_n=value * blow.aft_share,
        cross_n=value * blow.cross_share,
        offset_m=radius,
    )
    loads = free_body_loads(body, [hit], cuts_m=np.linspace(*ends, CUTS // 2))
    roll = roll_lumps(given.masses.rolling, ends)
    turned = torsion_along(roll, ((edge_m, SCUFF * value * radius),), loads.stations_m) if roll else None
    scatter = force.scaled(1 / value)
    case = whole_case(Case(load=Load.LANDING, half=half), loads, (scatter, scatter))
    judged = _beyond_the_dent(ends, edge_m, max(radius, DENT_SHARE * skin.length_m))
    return LoadCase(body=replace(case, torsion_n_m=turned, ends_m=judged))


def _blow_force(body: Lumps, blow: EdgeBlow, speed: Estimate, ground: str) -> Estimate:
    """Peak force of the landing [N]."""
    arm = blow.arm_m(*body.centre_m)
    stop = ground_gives(ground)

    def force(speed_m_s: float, stop_m: float) -> float:
        given = Touchdown(
            mass_kg=body.mass_kg,
            inertia_kg_m2=body.inertia_kg_m2,
            arm_m=arm,
            speed_m_s=max(speed_m_s, 1e-3),
            stop_m=stop_m,
        )
        return touchdown_force(given)

    return over_corners(
        force, {"speed_m_s": speed, "stop_m": stop}, method="touchdown on an edge", source=stop.source
    )


def _beyond_the_dent(ends: tuple[float, float], edge_m: float, radius_m: float) -> tuple[float, float]:
    """Stations further from the blow than a radius: nearer by, the edge is crushed, as it should be."""
    fore, aft = ends
    if edge_m >= aft:
        return fore, max(aft - radius_m, fore)
    return min(fore + radius_m, aft), aft


def edge_radius_m(skin: Skin, station_m: float) -> float:
    """Radius of the edge that touches [m]: of the section a little inside the end."""
    inside = min(max(station_m, 0.03 * skin.length_m), 0.97 * skin.length_m)
    return math.sqrt(section_at(skin, inside).area_m2 / math.pi)


def _lifted(given: CaseInputs) -> LoadCase:
    """Lying down, lifted at one end while the other rests on the ground."""
    masses = given.masses
    length, body = masses.vehicle.skin.length_m, masses.loaded
    ends = (ENDS_SHARE * length, (1 - ENDS_SHARE) * length)
    supports = two_supports(body.mass_kg, body.centre_m[0], ends, STANDARD_GRAVITY_M_S2)
    forces = [PointForce(station_m=at, cross_n=force) for at, force in zip(ends, supports, strict=True)]
    loads = free_body_loads(body, forces, cuts_m=masses.cuts_m)
    return LoadCase(body=whole_case(Case(load=Load.LIFTING), loads, (JERK, JERK)))
