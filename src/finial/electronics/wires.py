"""Resistance of copper wires and of what joins them."""

import math

from finial.core.corners import over_corners
from finial.core.doors import require_not_negative, require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy

COPPER_OHM_M = 1.7241e-8
"""Resistivity of annealed copper at 20 degC: IEC 60028, 1/58 ohm mm^2/m; from memory, not re-read."""
COPPER_PER_K = 0.00393
ROOM_K = 293.15
CONNECTOR_OHM = Estimate(
    value=0.01,
    low=0.002,
    high=0.05,
    known_by=KnownBy.ASSUMED,
    method="plug, screw terminal or crimp, new to worn",
    source="assumed: connector data sheets promise 10 to 30 mohm at most when new",
)


def gauge_diameter(gauge: int) -> float:
    r"""Diameter of a wire of American gauge.

    .. math::  d = 0.127\,\mathrm{mm} \cdot 92^{(36 - n) / 39}

    Parameters
    ----------
    gauge : int
        Gauge number, :math:`n`.

    Returns
    -------
    diameter : float
        Of the solid wire [m]; stranded wire of that gauge has the same copper.

    Raises
    ------
    OutsideRange
        If the gauge is not within 0 to 40.

    Notes
    -----
    Exact by definition, 0 to 40.

    References
    ----------
    .. [1] ASTM B258; from memory, not re-read.

    Examples
    --------
    >>> round(gauge_diameter(24) * 1e3, 4)
    0.5106
    """
    if not 0 <= gauge <= 40:
        raise OutsideRange(f"gauge {gauge}: accepted are 0 to 40")
    return 0.127e-3 * 92 ** ((36 - gauge) / 39)


def wire_resistance(gauge: int, length_m: float, connectors: int, temperature_k: Estimate) -> Estimate:
    r"""Resistance of a pair of copper wires with its connectors.

    .. math::  R = \frac{4 \rho (1 + \alpha (T - T_0))}{\pi d^2} \, 2 L + n R_c

    Parameters
    ----------
    gauge : int
        American wire gauge.
    length_m : float
        From end to end, counted once, :math:`L` [m].
    connectors : int
        Plugs, terminals and crimps, :math:`n`.
    temperature_k : Estimate
        Temperature of the wire [K].

    Returns
    -------
    resistance : Estimate
        There and back [ohm].

    Raises
    ------
    OutsideRange
        If the gauge is not within 0 to 40, the length not positive or the count negative.

    Notes
    -----
    Holds for copper; tinned and copper-clad wire has more. A bad crimp has anything.

    References
    ----------
    .. [1] IEC 60028 for copper; ASTM B258 for gauges; both from memory, not re-read. Connectors assumed.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> round(wire_resistance(24, 1.0, 0, exact(293.15)).value, 4)
    0.1684
    """
    require_positive(length_m=length_m, temperature_k=temperature_k.low)
    require_not_negative(connectors=connectors)
    area = math.pi / 4 * gauge_diameter(gauge) ** 2
    return over_corners(
        lambda kelvin, each: (
            COPPER_OHM_M * (1 + COPPER_PER_K * (kelvin - ROOM_K)) / area * 2 * length_m + connectors * each
        ),
        {"kelvin": temperature_k, "each": CONNECTOR_OHM},
        method="copper there and back, and connectors",
        source="IEC 60028 and ASTM B258, from memory; connectors assumed",
    )


def contact_resistance(connectors: int) -> Estimate:
    r"""Resistance of connectors in a row.

    .. math::  R = n R_c

    Parameters
    ----------
    connectors : int
        Plugs, terminals and crimps, :math:`n`.

    Returns
    -------
    resistance : Estimate
        Of all together [ohm].

    Raises
    ------
    OutsideRange
        If the count is negative.

    Notes
    -----
    Holds for sound ones, new to worn. A bad crimp has anything.

    References
    ----------
    .. [1] Assumed.

    Examples
    --------
    >>> contact_resistance(4).value
    0.04
    """
    require_not_negative(connectors=connectors)
    return CONNECTOR_OHM.scaled(connectors)
