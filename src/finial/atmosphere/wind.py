"""Wind over the field: how it grows with height."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange
from finial.core.frames import east_north_from_bearing
from finial.core.tables import row_named, table_rows

REFERENCE_HEIGHT_M: Final = 10.0
"""Height at which wind speeds are given [m]; WMO Guide to Instruments, No. 8."""

KARMAN: Final = 0.40
_GRID_M: Final = (
    0.0,
    0.1,
    0.25,
    0.5,
    1,
    2,
    3,
    5,
    7,
    10,
    15,
    20,
    30,
    45,
    65,
    90,
    125,
    170,
    220,
    280,
    350,
    430,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Terrain:
    """What the wind blows over."""

    name: str
    exponent: float
    roughness_m: float
    gradient_m: float
    """Height above which the wind no longer grows [m]."""
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WindProfile:
    """Wind at heights above ground; the vectors say where it blows **to**. Arrays of shape (n,)."""

    heights_m: NDArray[np.float64]
    east_m_s: NDArray[np.float64]
    north_m_s: NDArray[np.float64]


def terrains() -> tuple[Terrain, ...]:
    """All terrains of the table, smoothest first."""
    return tuple(_terrain(row) for row in table_rows("finial.atmosphere", "terrain.csv"))


def terrain_named(name: str) -> Terrain:
    """Terrain of that name.

    Raises
    ------
    MissingData
        If the table has none; the message lists what it has.

    Examples
    --------
    >>> terrain_named("Level open").exponent
    0.15
    """
    return _terrain(row_named(table_rows("finial.atmosphere", "terrain.csv"), name))


def log_law_wind(
    height_m: ArrayLike, speed_m_s: float, roughness_m: float, *, reference_m: float = REFERENCE_HEIGHT_M
) -> NDArray[np.float64]:
    r"""Wind speed in neutral air by the log law.

    .. math::  u(z) = u_r \frac{\ln(z / z_0)}{\ln(z_r / z_0)}, \qquad 0 \;(z \le z_0)

    Parameters
    ----------
    height_m : array_like, shape (...)
        Height above ground, :math:`z` [m].
    speed_m_s : float
        Wind speed at the reference height [m/s].
    roughness_m : float
        Roughness length, :math:`z_0` [m].
    reference_m : float
        Reference height, :math:`z_r` [m].

    Returns
    -------
    speed_m_s : ndarray, shape (...)
        Wind speed [m/s].

    Raises
    ------
    OutsideRange
        If a height or the speed is negative or not finite, or the reference is not above the roughness.

    Notes
    -----
    Holds in neutral air for the lowest 100 m or so. On a sunny afternoon the wind grows less with
    height, at night more.

    References
    ----------
    .. [1] Stull, An Introduction to Boundary Layer Meteorology, 1988, section 9.7.

    Examples
    --------
    >>> log_law_wind([2.0, 100.0], 5.0, 0.03).round(3).tolist()
    [3.615, 6.982]
    """
    height = _accepted_heights(height_m, speed_m_s)
    if not 0.0 < roughness_m < reference_m:
        raise OutsideRange(f"roughness {roughness_m} m: accepted is above 0 and below {reference_m} m")
    ratio = np.log(np.maximum(height, roughness_m) / roughness_m)
    return speed_m_s * ratio / math.log(reference_m / roughness_m)


def friction_velocity(
    speed_m_s: float, roughness_m: float, *, reference_m: float = REFERENCE_HEIGHT_M
) -> float:
    r"""Friction velocity of the log law.

    .. math::  u_* = \frac{k \, u_r}{\ln(z_r / z_0)}, \qquad k = 0.40

    Parameters
    ----------
    speed_m_s : float
        Wind speed at the reference height [m/s].
    roughness_m : float
        Roughness length, :math:`z_0` [m].
    reference_m : float
        Reference height, :math:`z_r` [m].

    Returns
    -------
    velocity_m_s : float
        Friction velocity [m/s].

    Raises
    ------
    OutsideRange
        If the reference height is not above the roughness, or the speed negative.

    Notes
    -----
    Neutral air.

    References
    ----------
    .. [1] Stull, An Introduction to Boundary Layer Meteorology, 1988, section 9.7.

    Examples
    --------
    >>> round(friction_velocity(5.0, 0.03), 3)
    0.344
    """
    _accepted_heights(reference_m, speed_m_s)
    if not 0.0 < roughness_m < reference_m:
        raise OutsideRange(f"roughness {roughness_m} m: accepted is above 0 and below {reference_m} m")
    return KARMAN * speed_m_s / math.log(reference_m / roughness_m)


def power_law_wind(
    height_m: ArrayLike, speed_m_s: float, exponent: float, *, reference_m: float = REFERENCE_HEIGHT_M
) -> NDArray[np.float64]:
    r"""Wind speed by the power law.

    .. math::  u(z) = u_r (z / z_r)^\alpha

    Parameters
    ----------
    height_m : array_like, shape (...)
        Height above ground, :math:`z` [m].
    speed_m_s : float
        Wind speed at the reference height [m/s].
    exponent : float
        Exponent of the terrain, :math:`\alpha` [-].
    reference_m : float
        Reference height, :math:`z_r` [m].

    Returns
    -------
    speed_m_s : ndarray, shape (...)
        Wind speed [m/s].

    Raises
    ------
    OutsideRange
        If a height or the speed is negative or not finite, or the exponent is outside 0 to 1.

    Notes
    -----
    Holds from a few metres to the terrain's gradient height, 250 to 500 m; a day's real exponent
    differs from the table's by 0.05 or more.

    References
    ----------
    .. [1] Davenport, Rationale for determining design wind velocities, J. Structural Division
       ASCE 86 (1960).

    Examples
    --------
    >>> round(float(power_law_wind(100.0, 2.0, 0.15)), 2)
    2.83
    """
    height = _accepted_heights(height_m, speed_m_s)
    if not 0.0 <= exponent <= 1.0:
        raise OutsideRange(f"exponent {exponent}: accepted are 0 to 1; over open ground it is about 0.15")
    return speed_m_s * (height / reference_m) ** exponent


def wind_profile(speed_m_s: float, from_rad: float, terrain: Terrain) -> WindProfile:
    """Wind by the power law up to the terrain's gradient height, the same above.

    Parameters
    ----------
    speed_m_s : float
        Wind speed 10 m above ground [m/s].
    from_rad : float
        Compass bearing the wind blows from [rad].
    terrain : Terrain
        What it blows over.

    Returns
    -------
    profile : WindProfile
        Wind at about 20 heights, meant to be joined by straight lines.

    Raises
    ------
    OutsideRange
        If the speed is negative or a number is not finite.

    Notes
    -----
    The same direction at all heights; over land the real wind turns clockwise by 10 to 30 degrees
    in the lowest kilometre (northern half). Straight lines between the heights stay within 2 %
    of the speed at 10 m above a height of 0.5 m.

    References
    ----------
    .. [1] Davenport, J. Structural Division ASCE 86 (1960), power law and gradient heights.

    Examples
    --------
    >>> west = wind_profile(5.0, 1.5 * math.pi, terrain_named("level open"))
    >>> round(float(np.interp(10.0, west.heights_m, west.east_m_s)), 6)
    5.0
    """
    if not math.isfinite(from_rad):
        raise OutsideRange(f"wind direction {from_rad} is not a finite number")
    heights = np.array([height for height in _GRID_M if height < terrain.gradient_m] + [terrain.gradient_m])
    speeds = power_law_wind(heights, speed_m_s, terrain.exponent)
    east, north = east_north_from_bearing(from_rad)
    return WindProfile(heights_m=heights, east_m_s=-speeds * east, north_m_s=-speeds * north)


def _accepted_heights(height_m: ArrayLike, speed_m_s: float) -> NDArray[np.float64]:
    height = np.asarray(height_m, dtype=float)
    if not np.all((height >= 0.0) & np.isfinite(height)):
        raise OutsideRange(f"height above ground {height}: accepted are 0 m and more")
    if not 0.0 <= speed_m_s < math.inf:
        raise OutsideRange(f"wind speed {speed_m_s} m/s: accepted are 0 m/s and more")
    return height


def _terrain(row: dict[str, str]) -> Terrain:
    return Terrain(
        name=row["name"],
        exponent=float(row["exponent"]),
        roughness_m=float(row["roughness_m"]),
        gradient_m=float(row["gradient_m"]),
        source=row["source"],
    )
