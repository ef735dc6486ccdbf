"""What a real body takes of its fins' force: slow air along it, and the base behind."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.aero.body import BodyAir
from finial.aero.fins.component import carry_over
from finial.aero.plates.planform import Planform
from finial.aero.steps.fronts import BASE_REACH
from finial.aero.steps.separation import envelope, reached
from finial.shape.fin_set import FinSet

_LAYER = 0.016
"""Thickness of a turbulent boundary layer over the way it has run: ``0.37 Re^-0.2`` at a Reynolds
number of 6.5e6; from 0.023 at 1e6 to 0.013 at 2e7 (Schlichting, Boundary-Layer Theory, from memory)."""
_PROFILE = 2.0 / 7.0
"""Dynamic pressure in the layer over that outside: distance over thickness to this power."""
_TAIL_FROM_WIDTHS = 2.0
"""Fins farther ahead of a narrowing tail than this do not know of it (judgement)."""
_NARROWED = 0.25
"""A body whose size has fallen by this share has a whole tail (judgement)."""
_TAU = (1e-3, 0.999)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dulled:
    """Shares of a fin set's force that a real body takes from it."""

    layer: float
    """Share taken by the slow air that the fins' roots stand in [-]."""
    base: float
    """Share that the body carries over and the base lets go [-]."""
    tail: float
    """How much of the fins stands on or just ahead of a narrowing tail, 0 to 1 [-]."""


def dulled_by(body: BodyAir, fins: FinSet, planform: Planform) -> Dulled:
    r"""Losses of a fin set on a body.

    .. math::  l = \frac{1}{S} \int_0^\delta c(y) \left( 1 - (y/\delta)^{2/7} \right) dy, \qquad
               b = \frac{K_B}{K_W + K_B} \overline{e^{-s / 0.77 r}}

    Parameters
    ----------
    body : BodyAir
    fins : FinSet
    planform : Planform
        Of one fin; chords :math:`c(y)` [m] and area :math:`S` [m^2].

    Returns
    -------
    dulled : Dulled
        All three between 0 and 1 [-].

    Raises
    ------
    OutsideRange
        Not for a fin with a span.

    Notes
    -----
    The layer :math:`\delta` is that of a flat plate as long as the body ahead of the middle of the
    root, thicker on a tail by how much that has narrowed. On a printed body it may be twice as
    thick. The body's share of the force lies mostly near the leading edge; what lies within
    reach of the base at a distance :math:`s`, of size :math:`r`, loses what growing sections
    lose there.

    References
    ----------
    .. [1] H. Schlichting, Boundary-Layer Theory, 7th ed. 1979, chapter 21 (from memory).
    .. [2] W. C. Pitts, J. N. Nielsen, G. E. Kaattari, NACA Report 1307, 1957 (from memory).

    Examples
    --------
    >>> from finial.aero.body import body_air
    >>> from finial.aero.plates.planform import fin_planform
    >>> from finial.aero.sections.outlines import ellipse, tapered_skin
    >>> tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    >>> outline = np.array([[0.0, 0.0], [0.09, 0.11], [0.18, 0.11], [0.18, 0.0]])
    >>> four = FinSet(name="four", outline_m=outline, station_m=0.8, root_radius_m=0.05, count=4,
    ...               first_at_rad=0.0, thickness_m=0.003)
    >>> lost = dulled_by(tube, four, fin_planform(outline))
    >>> round(lost.layer, 2), round(lost.base, 2), lost.tail
    (0.04, 0.01, 0.0)
    """
    sizes = body.sizes_m
    fore, aft = fins.station_m, fins.station_m + planform.root_chord_m
    middle = min((fore + aft) / 2, body.length_m)
    ahead = float(sizes[body.stations_m <= middle].max(initial=0.0))
    here = float(np.interp(middle, body.stations_m, sizes))
    thickness = max(_LAYER * middle * ahead / max(here, 1e-3 * ahead), 1e-12)
    return Dulled(
        layer=_layer_share(planform, thickness),
        base=_base_share(body, fins, planform, float(reached(body.stations_m, sizes)[-1])),
        tail=_on_tail(body, sizes, fore, aft),
    )


def beside_body(fins: FinSet, planform: Planform) -> tuple[float, float]:
    r"""Force of the fins beside a round body over theirs alone, and the body's share of what both gain.

    .. math::  K_W(\tau), \qquad \frac{K_B}{K_W + K_B}, \qquad \tau = \frac{r}{r + b}

    Parameters
    ----------
    fins : FinSet
    planform : Planform
        Of one fin.

    Returns
    -------
    upwash, share : float
        The first is also the mean angle that the fins meet, over the body's own [-].

    Raises
    ------
    OutsideRange
        Not for a fin with a span: the ratio is held inside its range.

    Notes
    -----
    Slender-body theory of a round body; square ones have somewhat more on their corners.

    References
    ----------
    .. [1] W. C. Pitts, J. N. Nielsen, G. E. Kaattari, NACA Report 1307, 1957 (from memory).

    Examples
    --------
    >>> from finial.aero.plates.planform import fin_planform
    >>> square = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, 0.0]])
    >>> fins = FinSet(name="four", outline_m=square, station_m=9.0, root_radius_m=1.0, count=4,
    ...               first_at_rad=0.0, thickness_m=0.01)
    >>> [round(each, 2) for each in beside_body(fins, fin_planform(square))]
    [1.45, 0.36]
    """
    tau = float(np.clip(fins.root_radius_m / (fins.root_radius_m + planform.span_m), *_TAU))
    on_fin, on_body = carry_over(tau)
    return on_fin, on_body / (on_fin + on_body)


def _layer_share(planform: Planform, thickness_m: float) -> float:
    slow = 1.0 - np.minimum(planform.outwards_m / thickness_m, 1.0) ** _PROFILE
    return float(planform.chords_m @ slow / planform.chords_m.sum())


def _base_share(body: BodyAir, fins: FinSet, planform: Planform, base_m: float) -> float:
    along = (np.arange(40) + 0.5) / 40
    # Low fins gain most of their force near the leading edge, and so does the body beside them.
    weight = 1.0 - along
    ahead = body.length_m - fins.station_m - along * planform.root_chord_m
    gone = np.exp(-np.maximum(ahead, 0.0) / (BASE_REACH * max(base_m, 1e-12)))
    return beside_body(fins, planform)[1] * float(weight @ gone / weight.sum())


def _on_tail(body: BodyAir, sizes: NDArray[np.float64], fore_m: float, aft_m: float) -> float:
    """How far the air narrows between the fins' root and two widths behind it, whole at a quarter.

    Along the dividing streamline: a chamfer of the base is no tail.
    """
    line = envelope(body.stations_m, sizes)
    under = float(np.interp(fore_m, body.stations_m, line))
    behind = np.maximum(body.stations_m - aft_m, 0.0) / (_TAIL_FROM_WIDTHS * body.width_m)
    seen = np.where(body.stations_m >= fore_m, np.maximum(1.0 - behind, 0.0), 0.0)
    narrowed = (under - line) / max(_NARROWED * under, 1e-12)
    return float(np.clip((seen * narrowed).max(), 0.0, 1.0))
