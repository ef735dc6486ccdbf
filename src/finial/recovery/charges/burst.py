"""A charge in its bay, in time: powder burns, the bay heats and swells, the joint parts.

Every number only says where to start a ground test. Finial says nothing about how powder
or igniters are made.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import GAS_CONSTANT_AIR_J_KG_K, HEAT_RATIO_AIR
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.recovery.charges.ports import HOLE_DISCHARGE
from finial.recovery.charges.powder import POWDER_FLAME_K, POWDER_GAS_J_KG_K

BURN_TIME_S = Estimate(
    value=8e-3,
    low=3e-3,
    high=20e-3,
    known_by=KnownBy.ASSUMED,
    method="time for 4F grains of 0.13 mm radius to burn at 17 mm/s, and the flame to spread",
    source="burn rate of black powder at one atmosphere from memory of Sasse's report, not re-read",
)
HEAT_TO_WALLS_W_M2_K = Estimate(
    value=300.0,
    low=100.0,
    high=800.0,
    known_by=KnownBy.ASSUMED,
    method="heat passed to walls and cloth by hot moving gas",
    source="assumed; forced convection of gases in handbooks is 30 to 300, hot particles add to it",
)
STEP_S = 2e-5
LONGEST_S = 0.12
"""A joint that has not parted by then stays shut [s]."""
_GAMMA = HEAT_RATIO_AIR


@dataclass(frozen=True, slots=True, kw_only=True)
class Burst:
    """A charge, its bay and its joint, as plain numbers."""

    powder_kg: float
    volume_m3: float
    """Free volume at first [m^3]."""
    diameter_m: float
    """Diameter the pressure acts on [m]."""
    stroke_m: float
    """Travel over which the joint still seals [m]."""
    moved_kg: float
    """Reduced mass of the two sides, m1 m2 / (m1 + m2) [kg]."""
    friction_n: float = 0.0
    pins_n: float = 0.0
    """Force that breaks the pins [N]; they are gone after that."""
    vent_area_m2: float = 0.0
    wall_area_m2: float = 0.0
    """Surface that takes heat [m^2]."""
    heat_w_m2_k: float = 300.0
    burn_time_s: float = 8e-3
    ambient_pa: float = 101_325.0
    trapped_pa: float = 0.0
    """Pressure already in the bay above the air outside [Pa]."""
    temperature_k: float = 288.15


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstHistory:
    """Pressure, travel and speed over time from ignition of the powder."""

    times_s: NDArray[np.float64]
    pressures_pa: NDArray[np.float64]
    """Above the air outside [Pa]."""
    travels_m: NDArray[np.float64]
    speeds_m_s: NDArray[np.float64]
    """Speed at which the two sides part [m/s]."""
    temperatures_k: NDArray[np.float64]
    parted_s: float | None
    """When the joint came apart [s]; ``None`` if it stayed shut or stuck half way."""
    moved_s: float | None
    """When pins broke and the joint began to move [s]."""

    @property
    def peak_pa(self) -> float:
        """Largest pressure above the air outside [Pa]."""
        return float(self.pressures_pa.max())

    @property
    def end_speed_m_s(self) -> float:
        """Speed of parting once the gas has done its work [m/s]; 0 if the joint did not open."""
        return float(self.speeds_m_s[-1]) if self.parted_s is not None else 0.0


@kept(64)
def burst(case: Burst) -> BurstHistory:
    r"""Follow a charge from ignition until the gas is spent.

    .. math::

        z = 1 - (1 - t / t_b)^3, \qquad p V = (\gamma - 1) E, \qquad
        \dot E = \dot m_b \frac{R T_f}{\gamma - 1} - p A v - h A_w (T - T_w) - \dot m_o c_p T, \\
        \mu \dot v = (p - p_a) A - F_f, \qquad \dot V = A v

    Parameters
    ----------
    case : Burst
        Powder [kg], bay [m, m^3], joint [N, m], masses [kg], air [Pa, K].

    Returns
    -------
    BurstHistory
        Pressure [Pa], travel [m] and speed [m/s] over time [s].

    Raises
    ------
    OutsideRange
        If a size, mass or the outside pressure is not positive, or another number negative.

    Notes
    -----
    One well-mixed gas with the heat ratio of air, so that a closed bay without losses
    reaches the trade's closed form ``m R T / V`` exactly. Constants of burnt powder are
    common practice. Outflow is the orifice equation, choked where it must be. Left out:
    light that reaches the canopy, a pack that plugs the mouth, grains blown out unburnt,
    loose powder above 20 000 ft. Speeds err high by a quarter or more until a ground test
    says otherwise.

    References
    ----------
    .. [1] Energy balance of an open vessel; any text on thermodynamics.
    .. [2] Powder constants: common practice. Spherical grains that burn inwards: Corner,
       Theory of the Interior Ballistics of Guns, 1950, from memory.

    Examples
    --------
    >>> closed = Burst(powder_kg=0.001167, volume_m3=0.002471, diameter_m=0.1016, stroke_m=0.1,
    ...     moved_kg=1.5, friction_n=1e5)
    >>> round(burst(closed).peak_pa / 6894.757, 1)
    15.0
    """
    _refuse(case)
    rows = [_start(case)]
    moved = parted = None
    for index in range(1, round(LONGEST_S / STEP_S) + 1):
        row = _stepped(case, rows[-1], moved is not None)
        rows.append(row)
        if moved is None and _push(case, row) > case.friction_n + case.pins_n:
            moved = row[0]
        if parted is None and row[4] > case.stroke_m:
            parted = row[0]
        spent = parted is not None and _gauge(case, row) < 500.0
        stuck = moved is not None and row[5] <= 0.0 and _push(case, row) < case.friction_n and index % 50 == 0
        if spent or (stuck and row[0] > case.burn_time_s):
            break
    return _told(case, rows, moved, parted)


_Row = tuple[float, float, float, float, float, float]
"""Time [s], mass of gas [kg], sum of mass times gas constant [J/K], energy [J], travel [m], speed [m/s]."""


def _start(case: Burst) -> _Row:
    inside = case.ambient_pa + case.trapped_pa
    mass = inside * case.volume_m3 / (GAS_CONSTANT_AIR_J_KG_K * case.temperature_k)
    return 0.0, mass, mass * GAS_CONSTANT_AIR_J_KG_K, inside * case.volume_m3 / (_GAMMA - 1), 0.0, 0.0


def _stepped(case: Burst, row: _Row, free: bool) -> _Row:
    """One step by the midpoint rule."""
    first = _change(case, row, free)
    half = _moved(row, first, STEP_S / 2)
    second = _change(case, half, free)
    time, mass, gas, energy, travel, speed = _moved(row, second, STEP_S)
    return time, mass, gas, energy, travel, max(speed, 0.0)


def _moved(row: _Row, change: _Row, step: float) -> _Row:
    time, mass, gas, energy, travel, speed = (a + step * b for a, b in zip(row, change, strict=True))
    return time, mass, gas, energy, travel, speed


def _change(case: Burst, row: _Row, free: bool) -> _Row:
    time, mass, gas, energy, travel, speed = row
    area = math.pi / 4 * case.diameter_m**2
    volume = case.volume_m3 + area * travel
    pressure = (_GAMMA - 1) * energy / volume
    temperature = pressure * volume / gas
    burning = _burn_rate(case, time)
    out = _outflow(case, row, pressure)
    heat = case.heat_w_m2_k * case.wall_area_m2 * (temperature - case.temperature_k)
    leaving = out * gas / mass if out >= 0 else out * GAS_CONSTANT_AIR_J_KG_K
    leaving_k = temperature if out >= 0 else case.temperature_k
    power = burning * POWDER_GAS_J_KG_K * POWDER_FLAME_K / (_GAMMA - 1)
    power -= pressure * area * speed + heat + leaving * leaving_k * _GAMMA / (_GAMMA - 1)
    sliding = case.friction_n if travel < case.stroke_m else 0.0
    push = (pressure - case.ambient_pa) * area - sliding
    acceleration = push / case.moved_kg if free and (push > 0 or speed > 0) else 0.0
    return 1.0, burning - out, burning * POWDER_GAS_J_KG_K - leaving, power, speed, acceleration


def _burn_rate(case: Burst, time_s: float) -> float:
    """Powder turned to gas per second [kg/s]: grains that burn inwards at a steady rate."""
    left = 1 - time_s / case.burn_time_s
    return 3 * case.powder_kg / case.burn_time_s * left**2 if left > 0 else 0.0


def _outflow(case: Burst, row: _Row, pressure: float) -> float:
    """Gas that leaves through the vent and, once the joint is out, round its rim [kg/s].

    Negative where a bay that grew past the air outside sucks air in.
    """
    _, mass, _, energy, travel, _ = row
    gap = max(travel - case.stroke_m, 0.0)
    area = case.vent_area_m2 + math.pi * case.diameter_m * gap
    if area <= 0:
        return 0.0
    if pressure >= case.ambient_pa:
        return _through(area, pressure, case.ambient_pa, (_GAMMA - 1) * energy / mass)
    return -_through(area, case.ambient_pa, pressure, GAS_CONSTANT_AIR_J_KG_K * case.temperature_k)


def _through(area_m2: float, high_pa: float, low_pa: float, specific_j_kg: float) -> float:
    """Flow through a sharp hole [kg/s], choked where it must be; R T of the gas on the high side."""
    critical = (2 / (_GAMMA + 1)) ** (_GAMMA / (_GAMMA - 1))
    ratio = max(low_pa / high_pa, critical)
    flow = 2 * _GAMMA / (_GAMMA - 1) * (ratio ** (2 / _GAMMA) - ratio ** ((_GAMMA + 1) / _GAMMA))
    return HOLE_DISCHARGE * area_m2 * high_pa / math.sqrt(specific_j_kg) * math.sqrt(max(flow, 0.0))


def _gauge(case: Burst, row: _Row) -> float:
    volume = case.volume_m3 + math.pi / 4 * case.diameter_m**2 * row[4]
    return (_GAMMA - 1) * row[3] / volume - case.ambient_pa


def _push(case: Burst, row: _Row) -> float:
    return _gauge(case, row) * math.pi / 4 * case.diameter_m**2


def _told(case: Burst, rows: list[_Row], moved: float | None, parted: float | None) -> BurstHistory:
    table = np.array(rows)
    pressures = np.array([_gauge(case, row) for row in rows])
    energies = (_GAMMA - 1) * table[:, 3]
    return BurstHistory(
        times_s=table[:, 0],
        pressures_pa=pressures,
        travels_m=table[:, 4],
        speeds_m_s=table[:, 5],
        temperatures_k=energies / table[:, 2],
        parted_s=parted,
        moved_s=moved,
    )


def _refuse(case: Burst) -> None:
    require_positive(
        powder_kg=case.powder_kg,
        volume_m3=case.volume_m3,
        diameter_m=case.diameter_m,
        stroke_m=case.stroke_m,
        moved_kg=case.moved_kg,
        burn_time_s=case.burn_time_s,
        ambient_pa=case.ambient_pa,
        temperature_k=case.temperature_k,
    )
    require_not_negative(
        friction_n=case.friction_n,
        pins_n=case.pins_n,
        vent_area_m2=case.vent_area_m2,
        wall_area_m2=case.wall_area_m2,
        heat_w_m2_k=case.heat_w_m2_k,
        trapped_pa=case.trapped_pa,
    )
