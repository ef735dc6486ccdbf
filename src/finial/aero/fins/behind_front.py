"""What the bubble behind a blunt front, and the slow air after it, take of the fins' force."""

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir
from finial.aero.plates.planform import Planform
from finial.aero.steps.fronts import FrontLip
from finial.shape.fin_set import FinSet

BUBBLE_SIZE = (0.6, 1.0, 1.2)
"""The bubble may be so many times as long and as thick as it is taken to be; judgement."""
_RISES = 0.35
"""Most height of the dividing streamline over that of the front [-]: a sixth of a round body's diameter."""
_SPREADS, _SPREADS_AFTER = 0.12, 0.05
"""How fast the slow layer outside the bubble thickens with the way along, and behind it [-]: somewhat more
than half of a mixing layer, 0.16 to 0.2 (from memory of Brown and Roshko, J. Fluid Mechanics 64, 1974)."""
_RECOVERS = 4.0
"""Behind the bubble the layer's loss falls by e over so many heights of the front; judgement."""
_OPEN_TAKES, _OPEN_REACHES = 0.85, 1.2
"""A bubble that does not close before the outline ends may take so much of the force up to so many heights
of its front from the skin [-]: of four fins on a flat-topped cube our tunnel leaves 0.12 at 10 degrees."""
_HALF_OPEN_GIVES = 0.45
"""Where a bubble half closes it may close on one side alone, and fins hold that apart: so much may their
force grow [-]. On a flat-topped prism of two widths our tunnel finds 1.45 of it at 5 degrees, 1.23 at 10."""
_CHORDWISE = 12


def behind_front(body: BodyAir, fins: FinSet, planform: Planform) -> tuple[float, float, float]:
    r"""Share of a set's force that bubbles of the fronts ahead take: least, usual, most.

    .. math::  y_s = 1.4\, h\, b\, \xi (1 - \xi), \qquad \frac{q}{q_0} = \left( \frac{y - y_s}{t} \right)^2,
               \qquad t = 0.12\, x

    Parameters
    ----------
    body : BodyAir
    fins : FinSet
    planform : Planform
        Of one fin.

    Returns
    -------
    least, usual, most : float
        Up to 1; the least may be negative, as fins in a half closed bubble may gain [-].

    Notes
    -----
    Nothing moves under the dividing streamline :math:`y_s`, which rises and falls again over the bubble's
    length, :math:`\xi = x / L`; outside it the speed grows over a layer that thickens, and behind the bubble
    what it lacks fades over four heights of the front. Drawn from mixing layers and the length of bubbles; no
    measured fin stands behind it, so that the ends take bubbles of 0.6 and 1.2 times the size, and where a
    bubble does not close, or half does, what our own tunnel found.

    References
    ----------
    .. [1] G. L. Brown, A. Roshko, J. Fluid Mechanics 64, 1974 (from memory): spread of mixing layers.
    .. [2] As ``front_lips`` for the bubble's length.

    Examples
    --------
    On a flat-topped tube one and a half and nine widths long.

    >>> from finial.aero.body import body_air
    >>> from finial.aero.plates.planform import fin_planform
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> square = np.array([[0.0, 0.0], [0.0, 0.05], [0.05, 0.05], [0.05, 0.0]])
    >>> def taken(length: float) -> list[float]:
    ...     tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (length, 0.1)]))
    ...     fins = FinSet(name="four", outline_m=square, station_m=length - 0.05, root_radius_m=0.05,
    ...                   count=4, first_at_rad=0.0, thickness_m=0.003)
    ...     return [round(each, 1) for each in behind_front(tube, fins, fin_planform(square))]
    >>> taken(0.15), taken(0.9)
    ([-0.4, 0.5, 0.8], [0.0, 0.0, 0.1])
    """
    along = (np.arange(_CHORDWISE) + 0.5) / _CHORDWISE
    stations = fins.station_m + planform.leads_m + along[:, None] * planform.chords_m
    under, dead = (
        np.interp(stations, body.stations_m, each) for each in (body.sizes_m, body.growth.sheltered_m)
    )
    weight = np.broadcast_to(planform.chords_m / planform.chords_m.sum() / _CHORDWISE, stations.shape)
    sizes = np.array(BUBBLE_SIZE)[:, None, None]
    gone = np.zeros((len(BUBBLE_SIZE), *stations.shape))
    gained = np.zeros_like(stations)
    for lip in body.growth.fronts:
        if lip.station_m >= stations.max():
            continue
        # Where the body falls away behind a lip the streamline comes down with its dead air.
        above = planform.outwards_m + under - np.minimum(lip.size_m, under + dead)
        np.maximum(gone, lip.sharpness * _slowed(lip, stations, above, sizes), out=gone)
        within = _within(lip, stations, above)
        np.maximum(gone[2], _OPEN_TAKES * lip.sharpness * lip.opened * within, out=gone[2])
        half = 4.0 * lip.opened * (1.0 - lip.opened)
        np.maximum(gained, _HALF_OPEN_GIVES * lip.sharpness * half * within, out=gained)
    least, usual, most = (float((weight * each).sum()) for each in (gone[0] - gained, *gone[1:]))
    return least, usual, most


def _within(
    lip: FrontLip, stations_m: NDArray[np.float64], above_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    """How far points lie in a bubble at its largest that may not close, fading over its last fifth."""
    most, behind = BUBBLE_SIZE[2], stations_m - lip.station_m
    along, up = (
        np.clip((most - far) / (most - 1.0), 0.0, 1.0)
        for far in (behind / lip.reach_m, above_m / (_OPEN_REACHES / most * lip.height_m))
    )
    return np.where(behind > 0.0, along * up, 0.0)


def _slowed(
    lip: FrontLip, stations_m: NDArray[np.float64], above_m: NDArray[np.float64], size: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Share of the dynamic pressure missing at points behind a lip, so far above it, for each bubble size."""
    behind = np.maximum(stations_m - lip.station_m, 0.0)
    reach, height = size * lip.reach_m, size * lip.height_m
    inside = np.minimum(behind / reach, 1.0)
    streamline = 4.0 * _RISES * height * inside * (1.0 - inside)
    after = np.maximum(behind - reach, 0.0)
    thick = np.maximum(size * (_SPREADS * np.minimum(behind, reach) + _SPREADS_AFTER * after), 1e-12)
    moving = np.minimum(np.maximum((above_m - streamline) / thick, 0.0), 1.0) ** 2
    return np.where(behind > 0, (1.0 - moving) * np.exp(after * (-1.0 / (_RECOVERS * height))), 0.0)
