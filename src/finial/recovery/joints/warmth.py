"""How cold and heat change what nylon pins hold."""

import numpy as np

from finial.core.constants import ZERO_CELSIUS_K
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows


def nylon_share(air: Estimate) -> Estimate:
    r"""Share of its strength on a mild day that nylon 6/6 has in warmer or colder air.

    .. math::  s = \tau(T) / \tau(10\ldots30\,^\circ\mathrm{C})

    Parameters
    ----------
    air : Estimate
        Temperature of the air, :math:`T` [K]; the pins are as warm.

    Returns
    -------
    Estimate
        Share, :math:`s` [-]: damp nylon at the one end, dry nylon at the other.

    Notes
    -----
    Holds from -40 to 77 degC; beyond, the last share stands, marked as outside the range. Read off tensile
    strength and taken to hold for shear. Pins in the sun are warmer than the air.

    References
    ----------
    .. [1] Tensile strength of nylon 6/6 by temperature, dry and at half humidity: design guides of its
       makers; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> nylon_share(exact(293.15)).value
    1.0
    >>> round(nylon_share(exact(243.15)).high, 2)
    1.36
    """
    rows = table_rows("finial.recovery", "nylon_warmth.csv")
    knots_k = [float(row["celsius"]) + ZERO_CELSIUS_K for row in rows]
    low, high = (
        float(np.interp(kelvin, knots_k, [float(row[end]) for row in rows]))
        for kelvin, end in ((air.high, "low"), (air.low, "high"))
    )
    return Estimate(
        value=0.5 * (low + high),
        low=low,
        high=high,
        known_by=KnownBy.HANDBOOK,
        method="strength of nylon by temperature, damp to dry",
        source="; ".join(dict.fromkeys(row["source"] for row in rows)),
        inside_range=knots_k[0] <= air.low and air.high <= knots_k[-1],
    )
