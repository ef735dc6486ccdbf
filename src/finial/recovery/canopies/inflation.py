"""How a canopy opens, in time: the load it slows, the air it takes along, gravity, all together."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept

AIR_SHARE = Estimate(
    value=0.5,
    low=0.25,
    high=1.0,
    known_by=KnownBy.ASSUMED,
    method="air a canopy takes along, over that in a half sphere of its projected diameter",
    source="apparent mass coefficients in Knacke, NWC TP 6575, scatter from 0.25 to above 1; from memory",
)
STEPS = 600
AFTER = 1.5
"""How long to go on after full open, in filling times."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inflation:
    """A canopy at line stretch and what hangs under it, as plain numbers."""

    mass_kg: float
    """What the canopy slows, without the air in it [kg]."""
    full_area_m2: float
    """Drag area when open [m^2]."""
    filling_m: float
    """Filling distance: fill constant times nominal diameter [m]."""
    projected_diameter_m: float
    growth_exponent: float
    speed_m_s: float
    """At line stretch [m/s]."""
    path_rad: float = 0.0
    """Of the flight path below the horizontal [rad]."""
    density_kg_m3: float = 1.225
    air_share: float = 0.5
    gravity_m_s2: float = STANDARD_GRAVITY_M_S2
    by_time: bool = False
    """True: the canopy fills at the pace it began with, as the closed form has it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InflationHistory:
    """The opening over time from line stretch."""

    times_s: NDArray[np.float64]
    loads_n: NDArray[np.float64]
    """Pull of the canopy on what hangs under it [N]."""
    speeds_m_s: NDArray[np.float64]
    areas_m2: NDArray[np.float64]

    @property
    def peak_n(self) -> float:
        """Largest pull [N]."""
        return float(self.loads_n.max())


_State = tuple[float, float, float]
"""Speed along the ground and up [m/s], distance flown [m]; or how fast each changes."""


@kept(64)
def inflate(case: Inflation) -> InflationHistory:
    r"""Follow an opening by the coupled equation of load, canopy and the air it takes along.

    .. math::

        C_D S = (C_D S)_0 \min(s / s_f, 1)^j, \qquad \dot s = v, \qquad
        m_a = k \rho \tfrac{2}{3} \pi r_p^3 (C_D S / (C_D S)_0)^{3/2}, \\
        \frac{d}{dt} (m + m_a) v = m g - \tfrac{1}{2} \rho v^2 C_D S \, \hat v, \qquad
        F = m \, | g - \dot v |

    Parameters
    ----------
    case : Inflation
        Mass [kg], canopy [m, m^2], speed [m/s], path [rad] and air [kg/m^3].

    Returns
    -------
    InflationHistory
        Load [N], speed [m/s] and drag area [m^2] over time [s].

    Raises
    ------
    OutsideRange
        If a size, mass, speed or density is not positive, or the share of air negative.

    Notes
    -----
    Filling goes by distance flown, so a canopy that has slowed its load fills later than the
    closed form says, and pulls less. The overshoot of the kind is not put on top: the air
    taken along makes its own. Small canopies scatter by a fifth and more between openings.
    Left out: lines that stretch, a canopy that opens on one side first, wakes.

    References
    ----------
    .. [1] Knacke, NWC TP 6575, 1991, section 5.4, and the equations of motion of body and
       canopy with apparent mass told there; from memory, not re-read.

    Examples
    --------
    >>> case = Inflation(mass_kg=5.0, full_area_m2=2.4, filling_m=16.0, projected_diameter_m=1.4,
    ...     growth_exponent=2.0, speed_m_s=20.0)
    >>> 100.0 < inflate(case).peak_n < 400.0
    True
    """
    _refuse(case)
    step = (1 + AFTER) * case.filling_m / case.speed_m_s / STEPS
    state = case.speed_m_s * math.cos(case.path_rad), -case.speed_m_s * math.sin(case.path_rad), 0.0
    states: list[_State] = []
    loads: list[float] = []
    for _ in range(STEPS):
        change = _change(case, state)
        states.append(state)
        loads.append(case.mass_kg * math.hypot(change[0], change[1] + case.gravity_m_s2))
        middle = _change(case, _moved(state, step / 2, change))
        other = _change(case, _moved(state, step / 2, middle))
        last = _change(case, _moved(state, step, other))
        state = _moved(state, step / 6, _weighted(change, middle, other, last))
    table = np.array(states)
    return InflationHistory(
        times_s=np.arange(STEPS, dtype=float) * step,
        loads_n=np.array(loads),
        speeds_m_s=np.hypot(table[:, 0], table[:, 1]),
        areas_m2=np.array([_area(case, distance) for distance in table[:, 2]]),
    )


def inflation_load(case: Inflation, bounds: dict[str, Estimate]) -> Estimate:
    """Peak load with the inputs that are not known exactly at their kind and hard ends.

    Parameters
    ----------
    case : Inflation
        The central case.
    bounds : dict of str to Estimate
        Fields of the case that have an interval: ``speed_m_s`` [m/s], ``full_area_m2`` [m^2],
        ``filling_m`` [m], ``density_kg_m3`` [kg/m^3], ``mass_kg`` [kg].

    Returns
    -------
    Estimate
        Peak load [N].

    Raises
    ------
    OutsideRange
        As ``inflate``.

    Notes
    -----
    The hard end takes the highest speed, area, density and mass and the shortest filling,
    the kind end the other way round; the share of air runs over its own interval.

    References
    ----------
    .. [1] As ``inflate``.

    Examples
    --------
    >>> from finial.core.estimates import spread
    >>> case = Inflation(mass_kg=5.0, full_area_m2=2.4, filling_m=16.0, projected_diameter_m=1.4,
    ...     growth_exponent=2.0, speed_m_s=20.0)
    >>> load = inflation_load(case, {"speed_m_s": spread(20.0, 0.1, known_by=KnownBy.MEASURED)})
    >>> load.low < load.value < load.high
    True
    """
    hard = {name: bound.low if name == "filling_m" else bound.high for name, bound in bounds.items()}
    kind = {name: bound.high if name == "filling_m" else bound.low for name, bound in bounds.items()}
    peaks = [inflate(case).peak_n]
    for ends in (hard, kind):
        peaks += [
            inflate(replace(case, air_share=share, **ends)).peak_n
            for share in (AIR_SHARE.low, AIR_SHARE.high)
        ]
    return Estimate(
        value=peaks[0],
        low=min(peaks),
        high=max(peaks),
        known_by=KnownBy.ASSUMED,
        method="coupled equation of load, canopy and the air in it",
        source=AIR_SHARE.source,
    )


def _area(case: Inflation, distance_m: float) -> float:
    return case.full_area_m2 * min(max(distance_m, 0.0) / case.filling_m, 1.0) ** case.growth_exponent


def _moved(state: _State, step: float, change: _State) -> _State:
    (x, z, flown), (by_x, by_z, further) = state, change
    return x + step * by_x, z + step * by_z, flown + step * further


def _weighted(first: _State, second: _State, third: _State, fourth: _State) -> _State:
    """Weigh the four slopes of a step by Runge and Kutta."""
    x, z, flown = (a + 2 * b + 2 * c + d for a, b, c, d in zip(first, second, third, fourth, strict=True))
    return x, z, flown


def _change(case: Inflation, state: _State) -> _State:
    vx, vz, distance = state
    speed = math.hypot(vx, vz)
    share = min(max(distance, 0.0) / case.filling_m, 1.0)
    area = case.full_area_m2 * share**case.growth_exponent
    full_air = case.air_share * case.density_kg_m3 * 2 / 3 * math.pi * (case.projected_diameter_m / 2) ** 3
    power = 1.5 * case.growth_exponent
    air = full_air * share**power
    gaining = full_air * power * share ** (power - 1) * speed / case.filling_m if 0 < share < 1 else 0.0
    brake = case.density_kg_m3 / 2 * area * speed + gaining
    whole = case.mass_kg + air
    weight = case.mass_kg * case.gravity_m_s2
    pace = case.speed_m_s if case.by_time else speed
    return -brake * vx / whole, (-brake * vz - weight) / whole, pace


def _refuse(case: Inflation) -> None:
    require_positive(
        mass_kg=case.mass_kg,
        full_area_m2=case.full_area_m2,
        filling_m=case.filling_m,
        projected_diameter_m=case.projected_diameter_m,
        growth_exponent=case.growth_exponent,
        speed_m_s=case.speed_m_s,
        density_kg_m3=case.density_kg_m3,
    )
    require_not_negative(air_share=case.air_share, gravity_m_s2=case.gravity_m_s2)
