"""Fins that each stand at an angle of their own: what they do together, by chance."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from finial.aero.fins.on_body import FinAir
from finial.core.doors import require_not_negative


@dataclass(frozen=True, slots=True, kw_only=True)
class AskewFins:
    """Coefficients on the vehicle's reference area that fins askew reach, as far as each fin's angle does."""

    roll: float
    """Roll moment coefficient, per width [-]."""
    side: float
    """Side force coefficient along body y, and as much along z [-]."""
    station_m: float | None
    """Where the side force acts [m]; ``None`` where no fin carries a force."""


def askew_fins(fins: Sequence[FinAir], angle_rad: float) -> AskewFins:
    r"""Roll moment and side force of fins that each stand off by chance.

    .. math::  c_l = \delta \sqrt{\sum_s \frac{c_{l\delta,s}^2}{n_s}}, \qquad
               c_Y = \delta \sqrt{\sum_s \frac{n_s}{2} c_{N\delta,s}^2}

    Parameters
    ----------
    fins : sequence of FinAir
        Fin sets on the body, of :math:`n_s` fins each.
    angle_rad : float
        How far each fin may stand off, :math:`\delta` [rad].

    Returns
    -------
    askew : AskewFins
        As far as the angle reaches: a deviation for a deviation, an end for an end.

    Raises
    ------
    OutsideRange
        If the angle is negative or not a number.

    Notes
    -----
    Holds for angles that are independent and small. The mean of :math:`n` independent angles
    deviates by :math:`\delta / \sqrt n` and rolls as a cant does; each component of the sum of their
    forces, whose normals point all round, by :math:`\delta \sqrt{n / 2}` times the force of one fin.

    References
    ----------
    .. [1] Variance of a sum of independent numbers; any text on statistics.

    Examples
    --------
    >>> askew_fins((), 0.01)
    AskewFins(roll=0.0, side=0.0, station_m=None)
    """
    require_not_negative(angle_rad=angle_rad)
    rolls = [fin.factor[1] * fin.roll_per_cant for fin in fins]
    sides = [float(np.trace(fin.felt_slope_per_rad)) for fin in fins]
    counts = [fin.fins.count for fin in fins]
    roll = math.sqrt(sum(one**2 / count for one, count in zip(rolls, counts, strict=True)))
    # The trace of a set's tensor holds the forces of all its fins.
    side = math.sqrt(sum((one / count) ** 2 * count / 2.0 for one, count in zip(sides, counts, strict=True)))
    station = None
    if sum(sides) > 0.0:
        station = sum(one * fin.centre_m for one, fin in zip(sides, fins, strict=True)) / sum(sides)
    return AskewFins(roll=roll * angle_rad, side=side * angle_rad, station_m=station)
