"""Normal force and moment at an angle, as ranges: what a balance in a tunnel would read."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.aero.band.band import FLOOR_WIDTHS
from finial.aero.band.load_parts import ANY_FLOW, DoubtfulForce, Flow, all_parts, directions
from finial.aero.body import BodyAir
from finial.aero.fins.on_body import FinAir


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRange:
    """Normal force and moment coefficients: low, central and high, each of shape (angle, roll)."""

    force: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]
    """On the vehicle's reference area [-]."""
    moment: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]
    """Nose-up about the centre given, on reference area and width [-]."""


def load_range(
    body: BodyAir,
    fins: Sequence[FinAir],
    angles_rad: ArrayLike,
    rolls_rad: ArrayLike,
    centre_m: float,
    flow: Flow = ANY_FLOW,
) -> LoadRange:
    r"""Return normal force and moment with the ends that the parts of the pressure band give them.

    .. math::  C_N = \sin\alpha \sum_i k_i N_i, \qquad
               C_m = \frac{\sin\alpha}{d} \sum_i k_i (x_c N_i - M_i)

    Parameters
    ----------
    body : BodyAir
    fins : sequence of FinAir
    angles_rad, rolls_rad : array_like, shapes (a,) and (r,)
        As in ``pressure_band`` [rad].
    centre_m : float
        Station of the moment's centre, :math:`x_c` [m].
    flow : Flow

    Returns
    -------
    loads : LoadRange

    Raises
    ------
    OutsideRange
        If an angle is outside 0 to 90 degrees or Mach outside 0 to 0.9.

    Notes
    -----
    Exact extremes over all factors, for force and moment by themselves; what the parts leave
    out moves the moment by the band's floor, 0.1 widths times the central force. Measured
    bodies beside these ranges stand on the accuracy page.

    References
    ----------
    .. [1] The sum of slender body, crossflow and fins; see ``pressure_band``.

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> cone = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.0), (0.3, 0.1)]))
    >>> loads = load_range(cone, (), [0.1], [0.0], 0.2)
    >>> [round(float(end[0, 0]), 3) for end in loads.force]
    [0.145, 0.169, 0.199]
    """
    angles, rolls = directions(angles_rad, rolls_rad)
    _, parts = all_parts(body, fins, angles, rolls, flow)
    sine = np.sin(angles)[:, None]
    force = _ends([sine * part.force for part in parts], parts)
    about = [sine * (centre_m * part.force - part.moment) / body.width_m for part in parts]
    low, central, high = _ends(about, parts)
    floor = FLOOR_WIDTHS * np.abs(force[1])
    return LoadRange(force=force, moment=(low - floor, central, high + floor))


def _ends(
    values: Sequence[NDArray[np.float64]], parts: Sequence[DoubtfulForce]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Least, central and greatest sum of values times the factors of their parts."""
    low, high = [part.low for part in parts], [part.high for part in parts]
    pairs = [(a * value, b * value) for value, a, b in zip(values, low, high, strict=True)]
    central = sum(value * part.central for value, part in zip(values, parts, strict=True))
    least, most = sum(np.minimum(*pair) for pair in pairs), sum(np.maximum(*pair) for pair in pairs)
    return np.asarray(least), np.asarray(central), np.asarray(most)
