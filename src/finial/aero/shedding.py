"""What sheds vortices in step: ledges and legs, and the speed at which they meet a frequency."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir
from finial.core.doors import require_positive
from finial.core.estimates import Estimate, KnownBy

STROUHAL = (0.15, 0.20, 0.25)
"""Least, usual and most [-]."""
_TORN_OFF = 0.5
"""Where the air is taken to follow more than this share of a step, it sheds nothing [-]; a judgement."""
_DIRECTIONS = np.linspace(0.0, np.pi, 36, endpoint=False)


class ShedderKind(StrEnum):
    """What the air leaves."""

    LEDGE = "ledge"
    LEG = "leg"
    WHOLE = "whole shape"
    """As a tunnel read it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shedder:
    """Something that the air leaves, with its size across the flow."""

    kind: ShedderKind
    start_m: float
    """Station where the air leaves it [m]; of a leg the first that it has."""
    end_m: float
    """Where a ledge's dead air ends, or the leg [m]."""
    height_m: float
    """Depth of the step, width of the leg, or of the whole shape [m]."""
    strouhal: tuple[float, float, float] = STROUHAL
    """Least, usual and most, on that height [-]."""


def shedders(body: BodyAir) -> tuple[Shedder, ...]:
    """Ledges that the air is torn off, and legs, handles and posts, from tip to base.

    Parameters
    ----------
    body : BodyAir
        Its bubbles are the ledges; sections of several outlines are the legs.

    Returns
    -------
    found : tuple of Shedder
        With heights [m].

    Notes
    -----
    A tail of which the air follows more than half is no ledge; the base is none. A leg is as wide as its
    outline is narrowest, the mean of those of less than four times the smallest area.

    References
    ----------
    .. [1] No published method; the shares are judgements.

    Examples
    --------
    A disc of 0.3 m on a mast sheds at its edge.

    >>> from finial.aero.body import body_air
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> profile = [(0.0, 0.1), (0.2, 0.1), (0.2, 0.3), (0.22, 0.3), (0.22, 0.1), (2.0, 0.1)]
    >>> (found,) = shedders(body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), profile)))
    >>> found.kind.value, round(found.start_m, 2), round(found.height_m, 2)
    ('ledge', 0.22, 0.1)
    """
    ledges = [
        Shedder(kind=ShedderKind.LEDGE, start_m=one.start_m, end_m=one.end_m, height_m=one.depth_m)
        for one in body.growth.bubbles
        if one.followed < _TORN_OFF and one.depth_m > 0.0 and one.part > 0.5
    ]
    return tuple(sorted([*ledges, *_legs(body)], key=lambda one: one.start_m))


def _legs(body: BodyAir) -> Iterator[Shedder]:
    for several, run in groupby(body.skin.sections, key=lambda section: len(section.loops) > 1):
        sections = list(run)
        if several:
            yield Shedder(
                kind=ShedderKind.LEG,
                start_m=sections[0].station_m,
                end_m=sections[-1].station_m,
                height_m=float(np.mean([_narrowest_m(section.loops) for section in sections])),
            )


def _narrowest_m(loops: tuple[NDArray[np.float64], ...]) -> float:
    """Mean of the least widths of the small outlines [m]."""
    across = np.column_stack([np.cos(_DIRECTIONS), np.sin(_DIRECTIONS)])
    widths = np.array([np.ptp(loop @ across.T, axis=0).min() for loop in loops])
    return float(widths[widths < 2.0 * widths.min()].mean())


def speed_in_step(
    frequency_hz: Estimate, height_m: float, strouhal: tuple[float, float, float] = STROUHAL
) -> Estimate:
    r"""Airspeed at which something sheds vortices as often as something else swings.

    .. math::  V = \frac{f h}{St}

    Parameters
    ----------
    frequency_hz : Estimate
        Of the swing, :math:`f` [Hz].
    height_m : float
        Depth of the step or width of the leg, :math:`h` [m].
    strouhal : tuple of float
        Least, usual and most, :math:`St` [-].

    Returns
    -------
    speed_m_s : Estimate
        With the usual Strouhal number, and with the most and the least at the ends [m/s].

    Raises
    ------
    OutsideRange
        If the height, the low end of the frequency or a Strouhal number is not positive.

    Notes
    -----
    0.12 to 0.21 on long bodies with sharp edges and circles across the flow, at Reynolds numbers from 300 to
    2e5; around 0.2 on the height of plates and steps. Round bodies beyond shed less regularly and faster.

    References
    ----------
    .. [1] V. Strouhal, Annalen der Physik 241, 1878; A. Roshko, NACA Report 1191, 1954: 0.21 on circles; EN
       1991-1-4, annex E.1: 0.18 on circles, 0.12 on squares (all from memory, not re-read).

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> found = speed_in_step(exact(100.0), 0.02)
    >>> round(found.low, 1), round(found.value, 1), round(found.high, 1)
    (8.0, 10.0, 13.3)
    """
    require_positive(height_m=height_m, frequency_hz=frequency_hz.low, strouhal=min(strouhal))
    slow, usual, fast = strouhal
    return Estimate(
        low=frequency_hz.low * height_m / fast,
        value=frequency_hz.value * height_m / usual,
        high=frequency_hz.high * height_m / slow,
        known_by=max(frequency_hz.known_by, KnownBy.HANDBOOK),
        method=f"frequency times height over a Strouhal number of {usual:g} ({slow:g} to {fast:g})",
        source="Roshko, NACA Report 1191, 1954; EN 1991-1-4, annex E (from memory)",
    )
