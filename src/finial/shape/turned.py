"""How far a body turns about its axis from tip to base: a screw spins in the air."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.kept_parts import kept
from finial.shape.skin import Section, Skin

_FOLDS = (2, 3, 4, 5, 6, 8)
_LEAST_SHARE = 0.02
"""Least moment of a section about its axis, over that of a round one, that tells which way it stands [-]."""

_GRADUAL_RAD = math.radians(10.0)
"""A screw turns by less from one cut to the next; more at once is another outline: a roof on a tower."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """How a body turns along its axis."""

    angle_rad: float
    """From tip to base, one way less the other [rad]."""
    steadiness: float
    """That angle over all turning, whichever way: 1 for a screw, near 0 for what only changes [-]."""
    share: float
    """Share of the length along which the outline tells which way it stands [-]."""


# Every answer asks, and a slider moves no section.
@kept(8)
def turn_of(skin: Skin) -> Turn:
    r"""Follow which way the sections of a body stand, from one to the next.

    .. math::
        I_m = \int z^m \, dA, \qquad \theta = \frac{1}{m} \sum \arg\frac{I_m^{(k+1)}}{I_m^{(k)}}, \qquad
        z = (y - y_c) + i (z - z_c)

    Parameters
    ----------
    skin : Skin
        Sections [m].

    Returns
    -------
    turn : Turn
        Angle [rad], steadiness and share [-], by the number of folds :math:`m` of 2 to 8 that tells along
        most of the length.

    Notes
    -----
    Exact for an outline that turns and scales. Round bodies, and cuts farther apart than a turn of ten
    degrees, tell nothing; an outline that changes from one shape to another turns unsteadily.

    References
    ----------
    .. [1] Complex moments of a plane figure; moments of a triangle by the beta function, any handbook.

    Examples
    --------
    >>> corners = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    >>> def cut(station_m, angle):
    ...     spun = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    ...     return Section(station_m=station_m, loops=(corners @ spun,), area_m2=4.0, perimeter_m=8.0,
    ...         centroid_m=(0.0, 0.0))
    >>> screw = Skin(sections=tuple(cut(0.1 * k, 0.05 * k) for k in range(11)), length_m=1.0,
    ...     volume_m3=4.0, wetted_area_m2=8.0)
    >>> round(turn_of(screw).angle_rad, 6), round(turn_of(screw).steadiness, 6)
    (0.5, 1.0)
    """
    return max((_by_folds(skin, folds) for folds in _FOLDS), key=lambda one: one.share)


def _by_folds(skin: Skin, folds: int) -> Turn:
    moments = np.array([_moment(section, folds) for section in skin.sections])
    told = np.abs(moments) > _LEAST_SHARE
    both = told[1:] & told[:-1]
    turns = np.angle(moments[1:] * np.conj(moments[:-1])) / folds
    steps = np.where(both & (np.abs(turns) < _GRADUAL_RAD), turns, 0.0)
    along = np.diff(skin.stations_m)
    every = float(np.abs(steps).sum())
    return Turn(
        angle_rad=float(steps.sum()),
        steadiness=abs(float(steps.sum())) / every if every > 0.0 else 0.0,
        share=float(along[both].sum()) / skin.length_m,
    )


def _moment(section: Section, folds: int) -> complex:
    """Moment of a section about its centroid, over the area and the radius of a round one to the power."""
    if section.area_m2 <= 0.0:
        return 0.0
    size = math.sqrt(section.area_m2 / math.pi)
    found = sum(_loop_moment((loop - np.array(section.centroid_m)) / size, folds) for loop in section.loops)
    return complex(found) / math.pi


def _loop_moment(loop: NDArray[np.float64], folds: int) -> complex:
    """Moment of the triangles that a loop spans with the origin."""
    here = loop[:, 0] + 1j * loop[:, 1]
    there = np.roll(here, -1)
    twice_area = (np.conj(here) * there).imag
    powers = sum(here ** (folds - j) * there**j for j in range(folds + 1))
    return complex((twice_area * powers).sum()) / ((folds + 1) * (folds + 2))
