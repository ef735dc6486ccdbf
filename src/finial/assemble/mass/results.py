"""The mass table and its totals."""

from dataclasses import dataclass

from finial.core.estimates import Estimate
from finial.mass.properties import MassProperties


@dataclass(frozen=True, slots=True, kw_only=True)
class MassRow:
    """One line of the mass table."""

    name: str
    kind: str
    """``part``, ``item``, ``rod``, ``fin``, ``motor``, ``canopy``, ``cord``."""
    mass: Estimate
    station_m: float
    """Balance point of this row [m]."""
    is_ballast: bool = False
    """True for an item that is carried for its weight."""
    drawn: Estimate | None = None
    """Mass as drawn and printed, of a part that is weighed [kg]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedSoFar:
    """The mass table of a sheet that is only begun, and its totals."""

    rows: tuple[MassRow, ...]
    mass: Estimate
    balance: Estimate
    """Station of their balance point [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MassResult:
    """Mass table and totals at lift-off and burnout."""

    rows: tuple[MassRow, ...]
    lift_off: MassProperties
    burnout: MassProperties
    lift_off_mass: Estimate
    lift_off_balance: Estimate
    """Station of the balance point [m], with the spread of every row."""
    burnout_balance: Estimate
