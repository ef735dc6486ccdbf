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
    alone: Estimate | None = None
    """Mass before the whole was weighed [kg]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeWeighed:
    """The whole without its motors: on a scale, hung, and by the mass table."""

    mass: Estimate
    table_mass: Estimate
    balance: Estimate | None
    """Station of its balance point [m]; ``None`` where it was weighed and not hung."""
    table_balance: Estimate

    @property
    def mass_agrees(self) -> bool:
        """Whether the table's interval reaches the scale's."""
        return self.mass.meets(self.table_mass)

    @property
    def balance_agrees(self) -> bool:
        """Whether the table's balance point may be the one found; true where none was."""
        return self.balance is None or self.balance.meets(self.table_balance)

    @property
    def agrees(self) -> bool:
        """Whether the table can be brought to what was weighed."""
        return self.mass_agrees and self.balance_agrees


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
    weighed: WholeWeighed | None = None
    """``None`` where the whole was never weighed."""
