"""Forces of the air on the body: drag where it acts, cross forces along it, fins at their roots."""

import numpy as np

from finial.aero.drag.sources import acting_together
from finial.aero.fins.on_body import FinAir
from finial.assemble.air.sections import AirLoads
from finial.assemble.vehicle.loading import Vehicle
from finial.structure.loads.forces import Force, LineForce, axial_forces_ahead, cross_air_force


def air_forces(vehicle: Vehicle, air: AirLoads, pressure_pa: float, angle_rad: float) -> list[Force]:
    """All air forces at a dynamic pressure [Pa] and an angle of attack [rad], motor burning."""
    area = vehicle.skin.reference_area_m2
    forces = drag_forces(vehicle, air, pressure_pa)
    forces.append(
        cross_air_force(
            air.result.load_stations_m,
            air.result.load_per_m,
            dynamic_pressure_pa=pressure_pa,
            reference_area_m2=area,
            angle_rad=angle_rad,
        )
    )
    for fin in air.fins:
        cross = fin_set_force(fin.slope_per_rad, pressure_pa * area, angle_rad)
        fore, aft = _root_ends(fin)
        even = np.full(2, cross / (aft - fore))
        forces.append(
            LineForce(stations_m=np.array([fore, aft]), aft_n_per_m=np.zeros(2), cross_n_per_m=even)
        )
    return forces


def drag_forces(vehicle: Vehicle, air: AirLoads, pressure_pa: float, *, burning: bool = True) -> list[Force]:
    """Drag where its rows act: points for ledges and base, a line for skin and fins."""
    rows = air.drag.sources(burning=burning)
    acts = acting_together([(row.acts, row.coefficient.value) for row in rows])
    whole = pressure_pa * air.drag.reference_area_m2 * sum(row.coefficient.value for row in rows)
    return axial_forces_ahead(acts.stations_m, whole * acts.ahead)


def _root_ends(fin: FinAir) -> tuple[float, float]:
    return fin.fins.station_m, fin.fins.station_m + fin.planform.root_chord_m


def fin_set_force(slope_per_rad: np.ndarray, pressure_area_n: float, angle_rad: float) -> float:
    r"""Force of a fin set across the wind, at the roll where it is largest.

    .. math::  N = q S \, \lambda_{max}(C_{N\alpha}) \, \alpha

    Parameters
    ----------
    slope_per_rad : ndarray, shape (2, 2)
        Normal force slope over the axes y and z, :math:`C_{N\alpha}` [1/rad].
    pressure_area_n : float
        Dynamic pressure times reference area, :math:`q S` [N].
    angle_rad : float
        Angle of attack, :math:`\alpha` [rad].

    Returns
    -------
    force_n : float
        Force [N].

    Notes
    -----
    Small angles, before fins stall. The symmetric part of the slope counts.

    References
    ----------
    .. [1] Largest value of a quadratic form is its largest eigenvalue: any text on linear algebra.

    Examples
    --------
    >>> round(fin_set_force(np.diag([8.0, 2.0]), 100.0, 0.1), 9)
    80.0
    """
    return pressure_area_n * float(np.linalg.eigvalsh((slope_per_rad + slope_per_rad.T) / 2)[-1]) * angle_rad


def roll_couples(vehicle: Vehicle, air: AirLoads, pressure_pa: float) -> tuple[tuple[float, float], ...]:
    """Couples about the axis that cant makes before the vehicle rolls: station [m], couple [N m]."""
    push = pressure_pa * vehicle.skin.reference_area_m2 * vehicle.skin.width_m
    return tuple((fin.centre_m, push * fin.cant_moment) for fin in air.fins if fin.cant_moment)
