"""Wind over the field: how it grows with height."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.core.errors import OutsideRange
from finial.core.frames import east_north_from_bearing
from finial.core.tables import row_named, table_rows

REFERENCE_HEIGHT_M: Final = 10.0
"""Height at which wind speeds are given [m]; WMO Guide to Instruments, No. 8."""

_KARMAN: Final = 0.40
_ABOVE_ROUGHNESS: Final = 10.0
"""Roughness lengths above the ground from which the logarithmic law holds [-]; common practice."""

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

    def times(self, factor: float) -> "WindProfile":
        r"""Return the same wind, stronger or weaker at all heights alike.

        .. math::  u'(z) = f u(z)

        Parameters
        ----------
        factor : float
            How much stronger, :math:`f` [-].

        Returns
        -------
        wind : WindProfile
            At the same heights.

        Notes
        -----
        Holds for any factor: a negative one turns the wind round.

        References
        ----------
        .. [1] Definition.

        Examples
        --------
        >>> wind = WindProfile(heights_m=np.array([0.0]), east_m_s=np.array([3.0]), north_m_s=np.array([4.0]))
        >>> wind.times(2.0).north_m_s.tolist()
        [8.0]
        """
        return replace(self, east_m_s=factor * self.east_m_s, north_m_s=factor * self.north_m_s)


def terrain_named(name: str) -> Terrain:
    """Terrain of that name.

    Parameters
    ----------
    name : str
        Name, letter case ignored.

    Returns
    -------
    terrain : Terrain
        Its exponent [-], roughness [m] and height of the gradient wind [m] with their source.

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


def friction_velocity(
    speed_m_s: float, roughness_m: float, *, reference_m: float = REFERENCE_HEIGHT_M
) -> float:
    r"""Friction velocity of a neutral wind over rough ground.

    .. math::  u_* = \frac{k \, u_r}{\ln(z_r / z_0)}, \quad k = 0.40

    Parameters
    ----------
    speed_m_s : float
        Wind speed at the reference height, :math:`u_r` [m/s].
    roughness_m : float
        Roughness length of the ground, :math:`z_0` [m].
    reference_m : float
        Reference height, :math:`z_r` [m].

    Returns
    -------
    speed : float
        [m/s].

    Raises
    ------
    OutsideRange
        If the speed is negative, or the reference does not stand ten roughness lengths high.

    Notes
    -----
    Neutral air. Nearer the ground than ten roughness lengths the wind goes round single things.

    References
    ----------
    .. [1] Logarithmic law of the wall, any text on the boundary layer; k from memory, 0.38 to 0.42.

    Examples
    --------
    >>> round(friction_velocity(5.0, 0.03), 3)
    0.344
    """
    if not 0.0 <= speed_m_s < math.inf or not 0.0 < _ABOVE_ROUGHNESS * roughness_m <= reference_m:
        raise OutsideRange(
            f"wind {speed_m_s} m/s, roughness {roughness_m} m, reference {reference_m} m: accepted are a wind"
            " of 0 m/s and more, and a reference ten roughness lengths high or more"
        )
    return _KARMAN * speed_m_s / math.log(reference_m / roughness_m)


def log_law_wind(
    height_m: float, speed_m_s: float, roughness_m: float, *, reference_m: float = REFERENCE_HEIGHT_M
) -> float:
    r"""Wind speed by the logarithmic law.

    .. math::  u(z) = \frac{u_*}{k} \ln(z / z_0)

    Parameters
    ----------
    height_m : float
        Height above ground, :math:`z` [m].
    speed_m_s : float
        Wind speed at the reference height [m/s].
    roughness_m : float
        Roughness length of the ground, :math:`z_0` [m].
    reference_m : float
        Reference height [m].

    Returns
    -------
    speed : float
        Wind speed [m/s].

    Raises
    ------
    OutsideRange
        If the speed is negative, or one of the heights is not ten roughness lengths above the ground.

    Notes
    -----
    Neutral air, the lowest 100 m or so. A power law follows it at one height alone, with the exponent
    1 / ln(z / z0).

    References
    ----------
    .. [1] Logarithmic law of the wall, any text on the boundary layer.

    Examples
    --------
    >>> round(log_law_wind(2.0, 5.0, 0.03), 3)
    3.615
    """
    friction = friction_velocity(speed_m_s, roughness_m, reference_m=reference_m)
    if not _ABOVE_ROUGHNESS * roughness_m <= height_m < math.inf:
        raise OutsideRange(
            f"height {height_m} m over roughness {roughness_m} m: accepted is ten times it and more"
        )
    return friction / _KARMAN * math.log(height_m / roughness_m)


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


def measured_profile(
    heights_m: ArrayLike, speeds_m_s: ArrayLike, from_rad: ArrayLike, terrain: Terrain
) -> WindProfile:
    """Wind measured at heights, carried down to the ground by the terrain's power law.

    Parameters
    ----------
    heights_m : array_like, shape (n,)
        Heights above ground, rising strictly [m].
    speeds_m_s : array_like, shape (n,)
        Wind speeds [m/s].
    from_rad : array_like, shape (n,)
        Compass bearings the wind blows from [rad].
    terrain : Terrain
        What it blows over, for the heights below the lowest.

    Returns
    -------
    profile : WindProfile
        Meant to be joined by straight lines; constant above the highest height.

    Raises
    ------
    OutsideRange
        If the heights do not rise strictly from 0 or above, or a number is not finite.

    Notes
    -----
    Straight lines between vectors: where the wind turns by more than 60 degrees from one height
    to the next it is taken too weak between them.

    References
    ----------
    .. [1] Davenport, J. Structural Division ASCE 86 (1960), power law.

    Examples
    --------
    >>> west = measured_profile([10.0, 100.0], [4.0, 8.0], [1.5 * math.pi] * 2, terrain_named("level open"))
    >>> round(float(np.interp(55.0, west.heights_m, west.east_m_s)), 6)
    6.0
    """
    heights = _accepted_heights(heights_m, 0.0)
    speeds, bearings = np.asarray(speeds_m_s, dtype=float), np.asarray(from_rad, dtype=float)
    if heights.ndim != 1 or heights.size < 1 or np.any(np.diff(heights) <= 0.0):
        raise OutsideRange("wind column: the heights must rise strictly, lowest first")
    if speeds.shape != heights.shape or bearings.shape != heights.shape:
        raise OutsideRange("wind column: heights, speeds and bearings must be as many")
    if not (np.all(np.isfinite(bearings)) and np.all((speeds >= 0.0) & np.isfinite(speeds))):
        raise OutsideRange("wind column: speeds must be finite and not below 0 m/s, bearings finite")
    below = np.array([height for height in _GRID_M if height < heights[0]])
    shares = (
        power_law_wind(below, 1.0, terrain.exponent, reference_m=float(heights[0])) if below.size else below
    )
    all_heights = np.concatenate([below, heights])
    all_speeds = np.concatenate([shares * speeds[0], speeds])
    all_bearings = np.concatenate([np.full(below.size, bearings[0]), bearings])
    return WindProfile(
        heights_m=all_heights,
        east_m_s=-all_speeds * np.sin(all_bearings),
        north_m_s=-all_speeds * np.cos(all_bearings),
    )


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
