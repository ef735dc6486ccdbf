"""How often parts of a recovery fail: by kind, every number assumed and said to be."""

from dataclasses import dataclass, replace
from enum import StrEnum

from finial.core.errors import MissingData
from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import row_named, table_rows


class PartKind(StrEnum):
    """What can fail between a battery and the ground."""

    BATTERY = "battery"
    SWITCH = "switch"
    COMPUTER = "computer"
    IGNITER = "igniter"
    CHARGE = "charge"
    JOINT = "joint"
    CORD = "cord"
    CANOPY = "canopy"
    SLED = "sled"
    PORT = "port"
    LEAD = "lead"
    CONNECTOR = "connector"
    VIBRATION = "vibration"
    """No part, but what shakes every chain of a vehicle at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """Odds of one kind of part, for one flight [-]."""

    fails: Estimate
    """Not doing its part when it is called for."""
    unasked: Estimate
    """Doing it unasked: a switch that closes, a computer that fires."""


class Rest(StrEnum):
    """What the contacts of a switch do where nothing holds them."""

    OPEN = "open"
    CLOSED = "closed"


def rates_of(kind: str, rest: Rest | None = None) -> Rates:
    r"""Look the odds of a kind of part up.

    .. math::  q_{rest\ open} = q + s, \qquad c_{rest\ closed} = c + s

    Parameters
    ----------
    kind : str
        Kind of part, or of switch, letter case ignored.
    rest : Rest or None
        What a switch does once its pin or magnet has come away, with odds :math:`s`; the usual of its kind
        without it.

    Returns
    -------
    rates : Rates
        Odds for one flight [-].

    Raises
    ------
    MissingData
        If the table has no such kind, the message lists those it has; or if a rest is told of one that stays
        where it is put.

    Notes
    -----
    Every row is assumed: no field statistics were found. Use them to compare ways of wiring, not to
    promise a flight; own counts beat them.

    References
    ----------
    .. [1] Tables ``rates.csv`` and ``switches.csv``; judgement of this project.

    Examples
    --------
    >>> rates_of("pull pin").fails.value, rates_of("pull pin").unasked.value
    (0.03, 0.005)

    The same with contacts that open once the pin is out: it must stay in to keep the computer awake.

    >>> awake = rates_of("pull pin", Rest.OPEN)
    >>> round(awake.fails.value, 3), round(awake.unasked.value, 3)
    (0.034, 0.001)
    """
    row = row_named(_switches() + table_rows("finial.electronics", "rates.csv"), kind)
    usual = Rates(fails=_odds(row, "fails"), unasked=_odds(row, "unasked"))
    if rest is None or rest == row["rest"]:
        return usual
    slips = _odds(row, "slips") if "slips" in row else None
    if slips is None or slips.value == 0:
        raise MissingData(f"{kind}: it stays where it is put, and has no rest")
    if row["rest"]:
        usual = _less(usual, Rest(row["rest"]), slips)
    return _more(usual, rest, slips)


def has_rest(kind: str) -> bool:
    """Tell whether something holds the contacts of a kind of switch off their rest: a pin, a magnet.

    Parameters
    ----------
    kind : str
        Kind of switch, letter case ignored.

    Returns
    -------
    has_rest : bool
        False for one that stays where it is put.

    Raises
    ------
    MissingData
        If the table has no such kind.

    Examples
    --------
    >>> has_rest("pull pin"), has_rest("screw switch")
    (True, False)
    """
    return float(row_named(_switches(), kind)["slips"]) > 0


def _more(rates: Rates, rest: Rest, slips: Estimate) -> Rates:
    """Count what slips where it takes the contacts to: left open it fails, left closed it is live."""
    if rest is Rest.OPEN:
        return replace(rates, fails=_sum(rates.fails, slips, 1.0))
    return replace(rates, unasked=_sum(rates.unasked, slips, 1.0))


def _less(rates: Rates, rest: Rest, slips: Estimate) -> Rates:
    if rest is Rest.OPEN:
        return replace(rates, fails=_sum(rates.fails, slips, -1.0))
    return replace(rates, unasked=_sum(rates.unasked, slips, -1.0))


def _sum(odds: Estimate, slips: Estimate, sign: float) -> Estimate:
    """Add odds end by end; taken away again, each end loses the share that was in it."""
    return replace(
        odds,
        value=odds.value + sign * slips.value,
        low=odds.low + sign * slips.low,
        high=odds.high + sign * slips.high,
    )


def switch_kinds() -> tuple[str, ...]:
    """Name the kinds of switches in the table.

    Returns
    -------
    kinds : tuple of str
        Names as in the table.

    Examples
    --------
    >>> "magnetic switch" in switch_kinds()
    True
    """
    return tuple(row["name"] for row in _switches())


def _switches() -> tuple[dict[str, str], ...]:
    return table_rows("finial.electronics", "switches.csv")


def _odds(row: dict[str, str], column: str) -> Estimate:
    return Estimate(
        value=float(row[column]),
        low=float(row[f"{column}_low"]),
        high=float(row[f"{column}_high"]),
        known_by=KnownBy.ASSUMED,
        method="odds for one flight",
        source=row["source"],
    )
