"""How often parts of a recovery fail: by kind, every number assumed and said to be."""

from dataclasses import dataclass
from enum import StrEnum

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """Odds of one kind of part, for one flight [-]."""

    fails: Estimate
    """Not doing its part when it is called for."""
    unasked: Estimate
    """Doing it unasked: a switch that closes, a computer that fires."""


def rates_of(kind: str) -> Rates:
    """Look the odds of a kind of part up.

    Parameters
    ----------
    kind : str
        Kind of part, or of switch, letter case ignored.

    Returns
    -------
    rates : Rates
        Odds for one flight [-].

    Raises
    ------
    MissingData
        If the table has no such kind; the message lists those it has.

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
    """
    row = row_named(_switches() + table_rows("finial.electronics", "rates.csv"), kind)
    return Rates(fails=_odds(row, "fails"), unasked=_odds(row, "unasked"))


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
