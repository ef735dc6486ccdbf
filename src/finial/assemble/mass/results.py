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
    span_m: tuple[float, float] | None = None
    """Stations it reaches from and to [m]; ``None`` for a point."""

    def share_ahead(self, station_m: float) -> float:
        """Share of the row's mass ahead of a station [-], as if spread evenly over its span."""
        if self.span_m is None or self.span_m[1] <= self.span_m[0]:
            return 1.0 if self.station_m < station_m else 0.0
        fore, aft = self.span_m
        return min(max((station_m - fore) / (aft - fore), 0.0), 1.0)


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
