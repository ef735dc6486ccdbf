"""The one answer to a build sheet, as deep as it was asked for."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import IntEnum

from finial.assemble.air.results import AirResult
from finial.assemble.electronics.results import ElectronicsResult
from finial.assemble.flights.results import FlightResult
from finial.assemble.inside.results import InsideResult
from finial.assemble.mass.results import MassResult
from finial.assemble.recovery.records import RecoveryStudy
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.stability.results import StabilityPoint
from finial.assemble.strength.records import StrengthStudy
from finial.assemble.strength.results import StrengthResult
from finial.assemble.vehicle.results import ShapeResult
from finial.findings.finding import Finding, Verdict
from finial.findings.guess import Guess
from finial.findings.range_result import RangeResult


class Depth(IntEnum):
    """How long to look. Only the whole look can say go."""

    QUICK = 0
    """Closed forms and the flight: what a slider asks for."""
    WHOLE = 1
    """Strength in every case, fins in the wind, charges, canopies and cords in time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """Every stage's result, the findings worst first, and the verdict over all of them."""

    name: str
    note: str
    builder: str = ""
    """Who answers for it, where the sheet says."""
    sheet_file: str
    us_units: bool
    depth: Depth
    shape: ShapeResult
    mass: MassResult
    air: AirResult
    stability: tuple[StabilityPoint, ...]
    strength: StrengthResult
    flight: FlightResult
    recovery: RecoveryResult
    electronics: ElectronicsResult
    inside: InsideResult
    range_safety: RangeResult
    strength_study: StrengthStudy | None = None
    """``None`` where it was not looked, or could not be."""
    recovery_study: RecoveryStudy | None = None
    own_limits: Mapping[str, float]
    """Limits that the sheet sets itself, in SI units."""
    hardest_flights: bool = False
    """True where the loads are also those of the hardest flights of a campaign."""
    findings: tuple[Finding, ...]
    guesses: tuple[Guess, ...]
    verdict: Verdict

    @property
    def strength_looked(self) -> StrengthResult | StrengthStudy:
        """Strength as far as it was looked at: the whole look has more cases, and more ways to fail."""
        return self.strength_study or self.strength

    def of_stages(self, stages: Collection[str]) -> tuple[Finding, ...]:
        """Return the findings of some stages, worst first."""
        return tuple(finding for finding in self.findings if finding.stage in stages)
