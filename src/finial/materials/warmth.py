"""What heat leaves of a plastic: stiffness, strength, and how it creeps."""

import math
from dataclasses import replace

import numpy as np

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import table_rows
from finial.materials.material import Material

ROOM_K = 296.15
"""Temperature the tables hold for: 23 degC, the standard of ISO 291."""
CREEP_DOUBT = Estimate(
    value=1.0,
    low=0.5,
    high=2.0,
    known_by=KnownBy.ASSUMED,
    method="creep over what its table says",
    source="assumed: coefficients good to a factor of two",
)
_LEAST = 0.02
"""What is left at the least, where the scatter would take more than all [-]; assumed."""
_SCATTER = 0.25
"""Scatter of what heat takes, over what it takes [-]; assumed."""


def share_left(softens_k: float, temperature_k: float, quantity: str = "strength") -> float:
    r"""Share of a plastic's stiffness or strength left at a temperature.

    .. math::  s(T) = f(T_s - T) / f(T_s - T_{room})

    Parameters
    ----------
    softens_k : float
        Where it softens [K].
    temperature_k : float
        How warm it is [K].
    quantity : str
        ``stiffness`` or ``strength``.

    Returns
    -------
    share : float
        Over that at 23 degC [-]; above 1 when colder.

    Raises
    ------
    OutsideRange
        If a temperature lies outside 200 to 700 K.

    Notes
    -----
    Holds as a shape common to amorphous plastics, for loads of minutes; part-crystalline ones (PA) fall less
    steeply. Between the table's rows straight lines are drawn.

    References
    ----------
    .. [1] Dynamic mechanical curves of common filaments, from memory, not re-read; ``warm.csv``.

    Examples
    --------
    >>> round(share_left(333.15, 333.15), 2), share_left(333.15, 296.15)
    (0.25, 1.0)
    """
    for name, value in (("softens_k", softens_k), ("temperature_k", temperature_k)):
        if not 200.0 <= value <= 700.0:
            raise OutsideRange(
                f"{name} = {value}: 200 to 700 K is accepted; the likely slip is degrees Celsius"
            )
    return _at(quantity, softens_k - temperature_k) / _at(quantity, softens_k - ROOM_K)


def _at(quantity: str, below_k: float) -> float:
    rows = table_rows("finial.materials", "warm.csv")
    return float(
        np.interp(below_k, [float(row["below"]) for row in rows], [float(row[quantity]) for row in rows])
    )


def warmed(stuff: Material, temperature: Estimate) -> Material:
    """Return a material as it is at another temperature [K]; metals and wood stay.

    Parameters
    ----------
    stuff : Material
        As at 23 degC.
    temperature : Estimate
        How warm it is [K].

    Returns
    -------
    warm : Material
        Stiffness and strengths at that temperature, their intervals widened by its own.

    Raises
    ------
    OutsideRange
        As :func:`share_left`.

    Notes
    -----
    See :func:`share_left` for the equation, range and source.

    References
    ----------
    .. [1] As :func:`share_left`.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> from finial.materials.material import material
    >>> warm = warmed(material("PLA"), exact(323.15))
    >>> round(warm.ultimate_pa.value / material("PLA").ultimate_pa.value, 2)
    0.57
    """
    if stuff.softens_k is None:
        return stuff
    factor = {name: _factor(stuff.softens_k, temperature, name) for name in ("stiffness", "strength")}
    upright = stuff.upright_pa
    return replace(
        stuff,
        modulus_pa=_times(stuff.modulus_pa, factor["stiffness"]),
        yield_pa=_times(stuff.yield_pa, factor["strength"]),
        ultimate_pa=_times(stuff.ultimate_pa, factor["strength"]),
        upright_pa=None if upright is None else _times(upright, factor["strength"]),
    )


def _factor(softens: Estimate, temperature: Estimate, quantity: str) -> Estimate:
    # Cold makes plastics stronger but brittle, so that strength is never taken above that of the room.
    most = 1.0 if quantity == "strength" else math.inf
    value, coolest, hottest = (
        min(share_left(end, kelvin, quantity), most)
        for end, kelvin in (
            (softens.value, temperature.value),
            (softens.high, temperature.low),
            (softens.low, temperature.high),
        )
    )
    return Estimate(
        value=value,
        low=min(value, max(hottest - _SCATTER * (1 - hottest), _LEAST)),
        high=max(value, coolest),
        known_by=KnownBy.HANDBOOK,
        method=f"{quantity} left at {temperature.value - 273.15:.0f} degC",
        source="shape of dynamic mechanical curves, from memory",
    )


def _times(one: Estimate, factor: Estimate) -> Estimate:
    return replace(
        one,
        value=one.value * factor.value,
        low=one.low * min(factor.low, factor.value),
        high=one.high * max(factor.high, factor.value),
        known_by=max(one.known_by, factor.known_by),
        source="; ".join(filter(None, (one.source, factor.source))),
    )


def creep_growth(softens_k: float, temperature_k: float, time_s: float) -> float:
    r"""How far a plastic's strain under a lasting stress has grown over its first strain.

    .. math::  \phi = c(T_s - T) \, \log_{10}(1 + t / 1\,\mathrm{s})

    Parameters
    ----------
    softens_k, temperature_k : float
        Where it softens and how warm it is [K].
    time_s : float
        How long the stress lasts [s].

    Returns
    -------
    growth : float
        Creep strain over first strain [-].

    Raises
    ------
    OutsideRange
        If the time is negative or not finite, or a temperature lies outside 200 to 700 K.

    Notes
    -----
    A rough shape, good to a factor of two; stress below a third of the strength.

    References
    ----------
    .. [1] Linear viscoelastic creep on a logarithm of time (Findley, Lai and Onaran); coefficients assumed.

    Examples
    --------
    >>> round(creep_growth(353.15, 313.15, 3600.0), 2)
    0.21
    """
    share_left(softens_k, temperature_k)
    if not (math.isfinite(time_s) and time_s >= 0):
        raise OutsideRange(f"time_s = {time_s}: a time of zero or more is needed")
    return _at("creep", softens_k - temperature_k) * math.log10(1 + time_s)
