"""Air loads that were measured or computed elsewhere, in the place of those of the sections."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from finial.aero.band.load_parts import DoubtfulForce
from finial.aero.table.record import AirTable
from finial.core.errors import OutsideRange

_FADE_RAD = np.radians(20.0)
"""Beyond its last angle a table goes over into the sections' loads in so much."""
_TURN = 2.0 * np.pi


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenAir:
    """Loads of the whole vehicle on a grid; low, central, high first: shape (3, angle, roll, mach)."""

    reference_area_m2: float
    angles_rad: NDArray[np.float64]
    """Rising, from 0 to pi; force and place are read from the first above 0 on."""
    rolls_rad: NDArray[np.float64]
    """Rising, within one turn; one angle for loads alike all round."""
    machs: NDArray[np.float64]
    """Rising."""
    force: NDArray[np.float64]
    """Normal force coefficient on the reference area [-]."""
    place_m: NDArray[np.float64]
    """Station of the centre of pressure [m]."""
    axial: NDArray[np.float64] | None = None
    """Backward force coefficient along the axis, motor out [-]."""

    def __post_init__(self) -> None:
        """Refuse what is no grid."""
        shape = (3, len(self.angles_rad), len(self.rolls_rad), len(self.machs))
        loads = [self.force, self.place_m, *([] if self.axial is None else [self.axial])]
        if any(load.shape != shape for load in loads):
            raise OutsideRange(f"air loads must fill a grid of {shape}")
        if not (self.reference_area_m2 > 0 and self.angles_rad.max() > 0):
            raise OutsideRange("air loads need a reference area and an angle of attack above 0")


def table_with(table: AirTable, given: GivenAir) -> AirTable:
    r"""Flight table with given loads where they reach, the sections' beyond.

    .. math::  C = w C_{given} + (1 - w) C_{sections}, \qquad
               w = 1 \;(\alpha \le \alpha_{last}), \; 0 \;(\alpha \ge \alpha_{last} + 20^\circ)

    Parameters
    ----------
    table : AirTable
        From the sections.
    given : GivenAir

    Returns
    -------
    table : AirTable
        Force along the wind, its moment and, where it is given, the axial force are replaced by the
        central values; side force, rolling and damping stay.

    Notes
    -----
    Linear between given angles, rolls and Mach numbers; nearest outside the Mach numbers. While the
    motor burns the axial force differs from that without by what the sections say.

    References
    ----------
    .. [1] Interpolation, no source.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> from finial.aero.table.build import TableInputs, air_table
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> table = air_table(cone, (), TableInputs(damping_centre_m=0.2))
    >>> one = np.ones((3, 1, 1, 1))
    >>> given = GivenAir(reference_area_m2=cone.reference_area_m2, angles_rad=np.array([0.1]),
    ...                  rolls_rad=np.zeros(1), machs=np.zeros(1), force=0.3 * one, place_m=0.21 * one)
    >>> mixed = table_with(table, given)
    >>> round(float(mixed.along[0, 0, 0]), 2)
    3.01
    """
    scale = given.reference_area_m2 / table.reference_area_m2
    at = table.alpha_rad, table.roll_rad, table.mach
    force, place = over_sine(given)[1] * scale, given.place_m[1]
    along, where = _at(given, force, *at), _at(given, place, *at)
    weight = _weight(given, table.alpha_rad)[:, None, None]
    changed = replace(
        table,
        along=weight * along + (1 - weight) * table.along,
        along_moment=weight * along * where / table.width_m + (1 - weight) * table.along_moment,
    )
    if given.axial is None:
        return changed
    axial = _at(given, given.axial[1] * scale, *at)
    burning = table.axial_power_on - table.axial_power_off
    off = weight * axial + (1 - weight) * table.axial_power_off
    return replace(changed, axial_power_off=off, axial_power_on=off + burning)


def given_parts(
    given: GivenAir,
    angles_rad: NDArray[np.float64],
    rolls_rad: NDArray[np.float64],
    reference_area_m2: float,
) -> tuple[DoubtfulForce, DoubtfulForce]:
    r"""Given loads as the two parts of a pressure band: a force that is known so well, and where it acts.

    .. math::  M = k_1 N x + k_2, \qquad N_{low} \le k_1 N \le N_{high}, \;
               N (x_{low} - x) \le k_2 \le N (x_{high} - x)

    Parameters
    ----------
    given : GivenAir
    angles_rad : ndarray, shape (a,)
        Angles of attack of the band [rad].
    rolls_rad : ndarray, shape (r,)
        Roll angles of the band [rad].
    reference_area_m2 : float
        The vehicle's own [m^2].

    Returns
    -------
    force, place : DoubtfulForce
        At the lowest Mach number given, over sin(alpha) [-].

    Notes
    -----
    Linear between given angles; beyond the last of them the last stands.

    References
    ----------
    .. [1] Interpolation, no source.

    Examples
    --------
    >>> one = np.ones((3, 1, 1, 1))
    >>> given = GivenAir(reference_area_m2=2.0, angles_rad=np.array([np.pi / 2]), rolls_rad=np.zeros(1),
    ...                  machs=np.zeros(1), force=3.0 * one, place_m=0.5 * one)
    >>> [part.force.item() for part in given_parts(given, np.zeros(1), np.zeros(1), 1.0)]
    [6.0, 0.0]
    """
    scale = given.reference_area_m2 / reference_area_m2
    slowest = given.machs[:1]
    low, force, high = (
        _at(given, each * scale, angles_rad, rolls_rad, slowest)[..., 0] for each in over_sine(given)
    )
    near, place, far = (_at(given, each, angles_rad, rolls_rad, slowest)[..., 0] for each in given.place_m)
    size = np.where(np.abs(force) > 1e-12, force, 1e-12)
    return (
        DoubtfulForce(
            name="force in the table",
            force=force,
            moment=force * place,
            low=np.minimum(low / size, high / size),
            central=1.0,
            high=np.maximum(low / size, high / size),
        ),
        DoubtfulForce(
            name="place in the table",
            force=np.zeros_like(force),
            moment=np.abs(force),
            low=near - place,
            central=0.0,
            high=far - place,
        ),
    )


def over_sine(given: GivenAir) -> NDArray[np.float64]:
    """Given force over sin(alpha); at angle 0, where nothing is known of it, that of the next angle.

    Parameters
    ----------
    given : GivenAir

    Returns
    -------
    force : ndarray, shape (3, angle, roll, mach)
        On the given reference area [-].

    Notes
    -----
    At 180 degrees as at 0.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> one = np.ones((3, 1, 1, 1))
    >>> given = GivenAir(reference_area_m2=2.0, angles_rad=np.array([np.pi / 2]), rolls_rad=np.zeros(1),
    ...                  machs=np.zeros(1), force=3.0 * one, place_m=0.5 * one)
    >>> over_sine(given)[1].item()
    3.0
    """
    sine = np.sin(given.angles_rad)
    known = np.flatnonzero(sine > 1e-6)
    nearest = known[np.abs(given.angles_rad[:, None] - given.angles_rad[known]).argmin(axis=1)]
    return given.force[:, nearest] / sine[nearest][:, None, None]


def _weight(given: GivenAir, angles_rad: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.clip(1.0 - (angles_rad - given.angles_rad[-1]) / _FADE_RAD, 0.0, 1.0)


def _at(
    given: GivenAir,
    values: NDArray[np.float64],
    angles_rad: NDArray[np.float64],
    rolls_rad: NDArray[np.float64],
    machs: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Values on the given grid read at others, roll round the turn; shape (a, r, m)."""
    rolls, turned = given.rolls_rad, values
    if len(rolls) > 1:
        rolls = np.concatenate([[rolls[-1] - _TURN], rolls, [rolls[0] + _TURN]])
        turned = np.concatenate([values[:, -1:], values, values[:, :1]], axis=1)
    for axis, (known, wanted) in enumerate(
        ((given.angles_rad, angles_rad), (rolls, np.asarray(rolls_rad) % _TURN), (given.machs, machs))
    ):
        turned = read_along(turned, axis, known, wanted)
    return turned


def read_along(
    values: NDArray[np.float64], axis: int, known: NDArray[np.float64], wanted: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Interpolate along one axis, constant outside.

    Parameters
    ----------
    values : ndarray, shape (..., k, ...)
        Known values [any].
    axis : int
        That has as many entries as are known.
    known : ndarray, shape (k,)
        Rising [any].
    wanted : ndarray, shape (w,)
        In the same unit [any].

    Returns
    -------
    values : ndarray, shape (..., w, ...)
        Wanted values [any].

    Notes
    -----
    Linear.

    References
    ----------
    .. [1] Interpolation, no source.

    Examples
    --------
    >>> read_along(np.array([[1.0, 3.0]]), 1, np.array([0.0, 1.0]), np.array([0.5, 2.0])).tolist()
    [[2.0, 3.0]]
    """
    if len(known) == 1:
        return np.repeat(values, len(wanted), axis=axis)
    after = np.clip(np.searchsorted(known, wanted), 1, len(known) - 1)
    share = np.clip((wanted - known[after - 1]) / (known[after] - known[after - 1]), 0.0, 1.0)
    shape = [1] * values.ndim
    shape[axis] = len(wanted)
    share = share.reshape(shape)
    return np.take(values, after - 1, axis=axis) * (1 - share) + np.take(values, after, axis=axis) * share
