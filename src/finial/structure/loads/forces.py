"""Forces on a body, at a point or along a line.

Signs: ``aft`` forces point towards the base (drag is positive, thrust negative);
``cross`` forces point along the cross direction of the bending plane; couples turn the
axis from aft towards the cross direction.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.structure.bounds import need_finite


@dataclass(frozen=True, slots=True, kw_only=True)
class PointForce:
    """A force at one station, ``offset_m`` off the axis along the cross direction.

    Raises
    ------
    OutsideRange
        If a number is not finite.
    """

    station_m: float
    aft_n: float = 0.0
    cross_n: float = 0.0
    offset_m: float = 0.0
    couple_n_m: float = 0.0

    def __post_init__(self) -> None:
        """Refuse numbers that are not finite."""
        need_finite(
            station_m=self.station_m,
            aft_n=self.aft_n,
            cross_n=self.cross_n,
            offset_m=self.offset_m,
            couple_n_m=self.couple_n_m,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LineForce:
    """Force per length along the axis, linear between stations, none outside them.

    ``stations_m`` never falls (a repeated station is a step); all arrays have shape (n,),
    n >= 2, and are read-only.

    Raises
    ------
    OutsideRange
        If shapes differ, a number is not finite or the stations fall.
    """

    stations_m: NDArray[np.float64]
    aft_n_per_m: NDArray[np.float64]
    cross_n_per_m: NDArray[np.float64]

    def __post_init__(self) -> None:
        """Check the arrays and lock them."""
        names = ("stations_m", "aft_n_per_m", "cross_n_per_m")
        arrays = [np.array(getattr(self, name), dtype=float) for name in names]
        size = arrays[0].size
        if size < 2 or any(array.shape != (size,) for array in arrays):
            raise OutsideRange(
                f"a line force needs three equal arrays of 2 or more: {[a.shape for a in arrays]}"
            )
        if not all(np.isfinite(array).all() for array in arrays) or (np.diff(arrays[0]) < 0).any():
            raise OutsideRange("a line force needs finite numbers and stations that do not fall")
        for name, array in zip(names, arrays, strict=True):
            array.flags.writeable = False
            object.__setattr__(self, name, array)


Force = PointForce | LineForce


def cross_air_force(
    stations_m: NDArray[np.float64],
    slope_per_rad_m: NDArray[np.float64],
    *,
    dynamic_pressure_pa: float,
    reference_area_m2: float,
    angle_rad: float,
) -> LineForce:
    r"""Air load across the body from its slope along the stations.

    .. math::  n(x) = q \, S \, \frac{d^2 C_N}{d\alpha \, dx} \, \sin\alpha

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Stations [m].
    slope_per_rad_m : ndarray, shape (n,)
        Slope of the normal force coefficient per length [1/(rad m)].
    dynamic_pressure_pa : float
        Dynamic pressure [Pa].
    reference_area_m2 : float
        Area the coefficient refers to [m^2].
    angle_rad : float
        Angle of attack [rad].

    Returns
    -------
    load : LineForce
        Cross force per length [N/m].

    Raises
    ------
    OutsideRange
        If a number is not finite, the area is not above zero, or the stations fall.

    Notes
    -----
    Holds for small angles, below about 10 degrees (0.17 rad): the crossflow that grows with the
    square of the angle is left out and must be added where it matters.

    References
    ----------
    .. [1] Definition of the normal force slope.

    Examples
    --------
    >>> line = cross_air_force(np.array([0.0, 1.0]), np.array([2.0, 2.0]),
    ...     dynamic_pressure_pa=1000.0, reference_area_m2=0.01, angle_rad=0.1)
    >>> line.cross_n_per_m.round(4).tolist()
    [1.9967, 1.9967]
    """
    need_finite(dynamic_pressure_pa=dynamic_pressure_pa, angle_rad=angle_rad)
    require_positive(reference_area_m2=reference_area_m2)
    stations = np.asarray(stations_m, dtype=float)
    load = (
        dynamic_pressure_pa * reference_area_m2 * np.sin(angle_rad) * np.asarray(slope_per_rad_m, dtype=float)
    )
    return LineForce(stations_m=stations, aft_n_per_m=np.zeros_like(stations), cross_n_per_m=load)


def axial_forces_ahead(stations_m: NDArray[np.float64], ahead_n: NDArray[np.float64]) -> list[Force]:
    r"""Turn what acts ahead of each station into forces along the axis.

    .. math::  a(x) = dF/dx, \qquad \Delta F \text{ at a repeated station}

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Stations that never fall [m]; a repeated one is a force at a point.
    ahead_n : ndarray, shape (n,)
        Force towards the base of everything ahead of each, linear in between [N].

    Returns
    -------
    forces : list of PointForce or LineForce
        A point for every step, and one line for the rest, if there is any.

    Raises
    ------
    OutsideRange
        If a number is not finite or the stations fall.

    Notes
    -----
    Exact: adding the forces up again gives the same force ahead of every station.

    References
    ----------
    .. [1] Definition of a force per length.

    Examples
    --------
    >>> tip_and_skin = axial_forces_ahead(np.array([0.0, 0.0, 2.0]), np.array([0.0, 5.0, 15.0]))
    >>> [type(force).__name__ for force in tip_and_skin], tip_and_skin[1].aft_n_per_m.tolist()
    (['PointForce', 'LineForce'], [5.0, 5.0])
    """
    gaps, steps = np.diff(stations_m), np.diff(ahead_n)
    points: list[Force] = [
        PointForce(station_m=float(stations_m[i]), aft_n=float(steps[i]))
        for i in np.flatnonzero((gaps == 0) & (steps != 0))
    ]
    along = np.flatnonzero(gaps != 0)
    if not (steps[along] != 0).any():
        return points
    ends = np.column_stack([stations_m[along], stations_m[along + 1]]).ravel()
    even = (steps[along] / gaps[along]).repeat(2)
    return [*points, LineForce(stations_m=ends, aft_n_per_m=even, cross_n_per_m=np.zeros_like(even))]
