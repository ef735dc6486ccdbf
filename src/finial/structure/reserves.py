"""Reserve factors: strength over load, each with its interval."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate

MOST = 1000.0
"""Reserves above this say no more than "hardly loaded" and are cut here."""

Unit = Literal["Pa", "N", "m/s", "K"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserve:
    """One way to fail at one place: what loads it, what it bears, and the reserve."""

    what: str
    """The failure in a builder's words, such as ``wall pulled apart across layers``."""
    station_m: float
    load: Estimate
    strength: Estimate
    unit: Unit
    """Of load and strength."""
    reserve: Estimate | None
    """``None`` when nothing loads it."""
    rod_share: float | None = None
    """Share of an axial load that the rods carry here [-]."""
    note: str = ""


def reserve_factor(strength: Estimate, load: Estimate) -> Estimate | None:
    r"""Strength over load, judged at the bad end.

    .. math::  R = S / F, \qquad R_{low} = S_{low} / F_{high}, \quad R_{high} = S_{high} / F_{low}

    Parameters
    ----------
    strength, load : Estimate
        In one and the same unit; a load at or below zero does not load.

    Returns
    -------
    reserve : Estimate or None
        Reserve factor [-], at most 1000; 1 just holds. ``None`` if no part of the load is above zero.

    Raises
    ------
    OutsideRange
        If the strength can be below zero.

    Notes
    -----
    Range: any. Known as well as the weaker of the two.

    References
    ----------
    .. [1] Definition; interval division.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy, exact, spread
    >>> reserve = reserve_factor(spread(30.0, 0.2, known_by=KnownBy.HANDBOOK), exact(12.0))
    >>> reserve.value, reserve.low
    (2.5, 2.0)
    """
    if strength.low < 0.0:
        raise OutsideRange(f"strength reaches down to {strength.low}: a strength is zero or more")
    if load.high <= 0.0:
        return None
    return Estimate(
        value=_capped(strength.value, load.value),
        low=_capped(strength.low, load.high),
        high=_capped(strength.high, load.low),
        known_by=max(strength.known_by, load.known_by),
        method="strength over load",
        source="; ".join(dict.fromkeys(filter(None, (strength.source, load.source)))),
        inside_range=strength.inside_range and load.inside_range,
    )


def _capped(strength: float, load: float) -> float:
    return MOST if load <= strength / MOST else strength / load


def worst_of_each(reserves: Iterable[Reserve]) -> tuple[Reserve, ...]:
    """Return the lowest reserve of each kind of failure, worst first; what is not loaded is left out.

    Examples
    --------
    >>> worst_of_each([])
    ()
    """
    lowest: dict[str, Reserve] = {}
    for entry in reserves:
        kept = lowest.get(entry.what)
        if entry.reserve is not None and (kept is None or _bad_end(entry) < _bad_end(kept)):
            lowest[entry.what] = entry
    return tuple(sorted(lowest.values(), key=_bad_end))


def _bad_end(entry: Reserve) -> float:
    return entry.reserve.low if entry.reserve is not None else MOST
