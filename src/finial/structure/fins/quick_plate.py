"""Bending of a flat fin under air load, as a beam of strips."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.corners import over_corners
from finial.core.dimensions import Dimension
from finial.core.doors import require_positive
from finial.core.estimates import Estimate
from finial.structure.bounds import need_finite
from finial.structure.fins.outline import chords, trapezoids
from finial.structure.reserves import FailureMode, Reserve, reserve_factor

_STRIPS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class FinBending:
    """Answer of :func:`fin_bending`."""

    root_moment_n_m: float
    stress_pa: float
    """Largest bending stress [Pa], at the root or where a taper makes it larger."""
    stress_outward_m: float
    """Where that is, outward from the root [m]."""
    tip_deflection_m: float


def fin_bending(
    outline_m: NDArray[np.float64], thickness_m: float, force_n: float, modulus_pa: float
) -> FinBending:
    r"""Stress and deflection of a fin under a force spread evenly over its area.

    .. math::
        M(y) = \int_y^s p\, c(\eta)(\eta - y)\, d\eta, \quad p = F / S, \quad
        \sigma = \frac{6 M}{c\, t^2}, \quad w'' = \frac{12 M}{E\, c\, t^3}

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners: along the axis, outward from the root [m].
    thickness_m : float
        Thickness [m].
    force_n : float
        Force across the plate [N].
    modulus_pa : float
        Young's modulus [Pa].

    Returns
    -------
    bending : FinBending
        Root moment [N m], largest stress [Pa], tip deflection [m].

    Raises
    ------
    OutsideRange
        If thickness or modulus is not above zero, the force is not finite, or the outline has no area.

    Notes
    -----
    Holds for flat plates firmly held along the whole root, deflection below a tenth of the span. Strips run
    straight out: a fin swept by 45 degrees is stressed up to twice as high at the rear of its root.
    A plate that is wide for its span is up to 10 % stiffer.

    References
    ----------
    .. [1] Beam bending, Gere and Timoshenko, Mechanics of Materials, chapters 5 and 9.

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> bent = fin_bending(square, 0.005, 40.0, 2.3e9)
    >>> round(bent.root_moment_n_m, 3), round(bent.stress_pa / 1e6, 2)
    (2.0, 4.8)
    """
    require_positive(thickness_m=thickness_m, modulus_pa=modulus_pa)
    need_finite(force_n=force_n)
    span = trapezoids(outline_m)[-1].outer_m
    edges = np.linspace(0.0, span, _STRIPS + 1)
    middles = (edges[:-1] + edges[1:]) / 2
    chord = chords(outline_m, middles)
    strip_force = force_n * chord / chord.sum()
    beyond = np.cumsum(strip_force[::-1])[::-1]
    first = np.cumsum((strip_force * middles)[::-1])[::-1]
    # At each inner edge: all strips from there outwards, about that edge.
    moment = first - edges[:-1] * beyond
    inner_chord = chords(outline_m, edges[:-1])
    stress = 6 * np.abs(moment) / (np.where(inner_chord > 0, inner_chord, chord) * thickness_m**2)
    worst = int(np.argmax(stress))
    # Half a strip further out, at its middle, the moment has fallen by half a strip's arm.
    step = span / _STRIPS
    middle_moment = moment - beyond * step / 2 + strip_force * step / 8
    curvature = 12 * middle_moment / (modulus_pa * chord * thickness_m**3)
    return FinBending(
        root_moment_n_m=float(moment[0]),
        stress_pa=float(stress[worst]),
        stress_outward_m=float(edges[worst]),
        tip_deflection_m=float(np.sum(curvature * (span - middles)) * step),
    )


def fin_reserve(
    outline_m: NDArray[np.float64],
    thickness: Estimate,
    force: Estimate,
    strength: Estimate,
    *,
    station_m: float,
) -> Reserve:
    """Reserve of a fin against breaking.

    Parameters
    ----------
    outline_m : ndarray, shape (n, 2)
        Corners: along the axis, outward from the root [m].
    thickness : Estimate
        Thickness [m].
    force : Estimate
        Force across the plate, whichever way [N].
    strength : Estimate
        Strength of the material [Pa].
    station_m : float
        Station of the fin, for the record [m].

    Returns
    -------
    reserve : Reserve
        Strength over stress [-], both with their intervals [Pa].

    Raises
    ------
    OutsideRange
        As :func:`fin_bending`.

    Notes
    -----
    Range and error as :func:`fin_bending`.

    References
    ----------
    .. [1] As :func:`fin_bending`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> square = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    >>> round(fin_reserve(square, exact(0.005), exact(40.0), exact(60e6), station_m=0.9).reserve.value, 6)
    12.5
    """
    unit = fin_bending(outline_m, 1.0, 1.0, 1.0).stress_pa
    load = over_corners(
        lambda newtons, thick: abs(newtons) * unit / thick**2,
        {"newtons": force, "thick": thickness},
        method="bending of strips held at the root",
        source="Gere and Timoshenko, Mechanics of Materials",
    )
    return Reserve(
        mode=FailureMode.FIN_BREAKS,
        station_m=station_m,
        dimension=Dimension.PRESSURE,
        load=load,
        strength=strength,
        reserve=reserve_factor(strength, load),
    )
