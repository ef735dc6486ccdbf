"""Load cases of every check, taken from the flight and the recovery: thrust, speed, cords."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from finial.assemble.mass.lumps import body_lumps, half_of, roll_lumps, row_lumps
from finial.assemble.mass.rows import Row, motor_row
from finial.assemble.stability.results import FlightMoment
from finial.assemble.strength.forces import AirForces
from finial.assemble.strength.pulls import CordPull, HalfPull
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.motors import thrust_spread
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.flight.trace import Trace
from finial.mass.lumps import Lumps, joined
from finial.structure.loads.along_body import BodyLoads, free_body_loads
from finial.structure.loads.case import Case, Half, Load
from finial.structure.loads.forces import Force, PointForce
from finial.structure.walls.body import BodyCase
from finial.structure.walls.torsion import torsion_along

CUTS = 48
GUST_SPREAD = 0.25
"""Scatter of the air load's angle about the gust taken [-]; assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """Loads along the body in one case, and the air it flies through."""

    body: BodyCase
    dynamic_pressure_pa: float = 0.0
    angle_rad: float = 0.0
    speed_m_s: float = 0.0

    @property
    def case(self) -> Case:
        """Which case it is."""
        return self.body.case


@dataclass(frozen=True, kw_only=True)
class Masses:
    """The vehicle's mass along its axis, with the propellant and without; found once for all cases."""

    vehicle: LoadedVehicle
    rows: tuple[Row, ...]
    """Everything but the motor."""

    @cached_property
    def _dry(self) -> Lumps:
        return body_lumps(self.vehicle.skin, self.rows)

    @cached_property
    def loaded(self) -> Lumps:
        """With all propellant."""
        return joined([self._dry, row_lumps(self.vehicle.skin, motor_row(self.vehicle, 1.0))])

    @cached_property
    def empty(self) -> Lumps:
        """With the propellant gone."""
        return joined([self._dry, row_lumps(self.vehicle.skin, motor_row(self.vehicle, 0.0))])

    @cached_property
    def rolling(self) -> tuple[Row, ...]:
        """Rows with the propellant gone, for inertia about the axis."""
        return (*self.rows, motor_row(self.vehicle, 0.0))

    @cached_property
    def cuts_m(self) -> NDArray[np.float64]:
        """Stations at which loads are wanted [m]."""
        return np.linspace(0.0, self.vehicle.skin.length_m, CUTS)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightLoads:
    """What the core cases are made from."""

    masses: Masses
    air: AirForces
    trace: Trace
    """The flight that loads it."""
    fastest: FlightMoment
    """Its top speed, with a gust across."""


def load_cases(given: FlightLoads, pulls: Sequence[CordPull]) -> tuple[LoadCase, ...]:
    """Max thrust, max dynamic pressure with a gust, and the pull of each cord on both halves."""
    return (_max_thrust(given), _max_pressure(given), *pulled(given.masses, pulls))


def whole_case(case: Case, loads: BodyLoads, factors: tuple[Estimate, Estimate]) -> BodyCase:
    """Judge a case over everything that is loaded: axial factor, bending factor.

    Parameters
    ----------
    case : Case
        Which case.
    loads : BodyLoads
        Loads along the body.
    factors : (Estimate, Estimate)
        Scatter of axial force and of bending [-].
    """
    ends = float(loads.stations_m.min()), float(loads.stations_m.max())
    axial, bending = factors
    return BodyCase(case=case, loads=loads, ends_m=ends, axial_factor=axial, bending_factor=bending)


def _max_thrust(given: FlightLoads) -> LoadCase:
    trace, vehicle = given.trace, given.masses.vehicle
    index = int(np.argmax(trace.thrusts_n))
    pressure, angle = float(trace.dynamic_pressures_pa[index]), float(trace.alphas_rad[index])
    forces = given.air.all_at(pressure, angle)
    forces.append(thrust_force(vehicle, float(trace.thrusts_n[index])))
    loads = free_body_loads(given.masses.loaded, forces, cuts_m=given.masses.cuts_m)
    factors = thrust_scatter(vehicle), gust_scatter()
    return LoadCase(
        body=whole_case(Case(load=Load.MAX_THRUST), loads, factors),
        dynamic_pressure_pa=pressure,
        angle_rad=angle,
    )


def _max_pressure(given: FlightLoads) -> LoadCase:
    trace, fastest, masses = given.trace, given.fastest, given.masses
    vehicle = masses.vehicle
    pressure = float(trace.dynamic_pressures_pa.max())
    forces = given.air.all_at(pressure, fastest.alpha_rad)
    forces.append(thrust_force(vehicle, float(np.interp(fastest.time_s, trace.times_s, trace.thrusts_n))))
    loads = free_body_loads(masses.empty, forces, cuts_m=masses.cuts_m)
    drag = spread(1.0, 0.2, known_by=KnownBy.COMPUTED, method="drag interval")
    body = whole_case(Case(load=Load.MAX_SPEED), loads, (drag, gust_scatter()))
    couples = given.air.roll_couples(pressure)
    return LoadCase(
        body=replace(body, torsion_n_m=_torsion(masses, couples, loads)),
        dynamic_pressure_pa=pressure,
        angle_rad=fastest.alpha_rad,
        speed_m_s=fastest.speed_m_s,
    )


def thrust_force(vehicle: LoadedVehicle, thrust_n: float) -> Force:
    """Thrust at the nozzle, pushing forward."""
    return PointForce(station_m=vehicle.sheet.motor.nozzle_station.value, aft_n=-thrust_n)


def _torsion(
    masses: Masses, couples: tuple[tuple[float, float], ...], loads: BodyLoads
) -> NDArray[np.float64] | None:
    if not couples:
        return None
    body = roll_lumps(masses.rolling, (0.0, masses.vehicle.skin.length_m))
    return torsion_along(body, couples, loads.stations_m) if body else None


def thrust_scatter(vehicle: LoadedVehicle) -> Estimate:
    """Scatter of thrust about the curve [-]."""
    return spread(1.0, thrust_spread(vehicle), known_by=KnownBy.HANDBOOK, method="thrust scatter")


def gust_scatter() -> Estimate:
    """Scatter of bending about the gust taken [-]."""
    return spread(1.0, GUST_SPREAD, known_by=KnownBy.ASSUMED, method="gust taken as the whole wind across")


def pulled(masses: Masses, pulls: Sequence[CordPull]) -> Iterator[LoadCase]:
    """Each pull on the halves it joins, along and across as the cord stands."""
    for pull in pulls:
        for half in (Half.AFT, Half.FORE):
            case = Case(load=pull.load, subject=pull.subject, half=half)
            yield from pulled_half(masses, pull.station_m, case, pull.on[half])


def pulled_half(masses: Masses, station_m: float, case: Case, pull: HalfPull) -> Iterator[LoadCase]:
    """Load one half by a pull at its joint."""
    # The half ahead of the joint is pulled aft, the one behind it forward.
    sign = 1.0 if case.half is Half.FORE else -1.0
    point = PointForce(station_m=station_m, aft_n=sign * pull.along.value, cross_n=pull.across.value)
    yield from half_case(masses, station_m, case, [point], (pull.along, pull.across))


def half_case(
    masses: Masses,
    station_m: float,
    case: Case,
    forces: list[PointForce],
    scatter: tuple[Estimate, Estimate],
) -> Iterator[LoadCase]:
    """Load one half alone; one that is one lump has no length to bend over and gives no case.

    The scatter of axial force and of bending is that of two forces [N].

    Parameters
    ----------
    masses : Masses
        The vehicle along its axis.
    station_m : float
        Of the joint.
    case : Case
        Which case, of which half.
    forces : list of PointForce
        What loads it.
    scatter : (Estimate, Estimate)
        Forces whose scatter axial force and bending take [N].
    """
    body = half_of(masses.empty, station_m, 1.0 if case.half is Half.FORE else -1.0)
    if body is None or all(force.value <= 0.0 for force in scatter):
        return
    ends = (0.0, station_m) if case.half is Half.FORE else (station_m, masses.vehicle.skin.length_m)
    loads = free_body_loads(body, forces, cuts_m=np.linspace(*ends, CUTS // 2))
    axial, bending = (about_one(force) for force in scatter)
    yield LoadCase(body=whole_case(case, loads, (axial, bending)))


def about_one(force: Estimate) -> Estimate:
    r"""Scatter of a force about its central value.

    .. math::  k = F / F_0

    Parameters
    ----------
    force : Estimate
        How much it pulls, :math:`F` about :math:`F_0` [N].

    Returns
    -------
    scatter : Estimate
        About one [-]; exactly one where nothing pulls.

    Notes
    -----
    Holds for forces whose ends scale with them; how it is known is at best computed.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.core.estimates import spread
    >>> found = about_one(spread(200.0, 0.5, known_by=KnownBy.ASSUMED))
    >>> found.low, found.value, found.high
    (0.5, 1.0, 1.5)
    """
    if force.value <= 0.0:
        return exact(1.0)
    return replace(force.scaled(1 / force.value), known_by=max(KnownBy.COMPUTED, force.known_by))
