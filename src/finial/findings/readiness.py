"""The whole answer to one build sheet."""

from dataclasses import dataclass

from finial.assemble.air.results import AirResult
from finial.assemble.electronics import ElectronicsResult
from finial.assemble.flights.results import FlightResult
from finial.assemble.mass.results import MassResult
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.stability import StabilityPoint
from finial.assemble.strength.results import StrengthResult
from finial.assemble.vehicle.results import ShapeResult
from finial.findings.finding import Finding, Verdict
from finial.findings.guesses import Guess
from finial.findings.range_stage import RangeResult


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """Every stage's result, the findings worst first, and the verdict."""

    name: str
    note: str
    sheet_file: str
    us_units: bool
    shape: ShapeResult
    mass: MassResult
    air: AirResult
    stability: tuple[StabilityPoint, ...]
    strength: StrengthResult
    flight: FlightResult
    recovery: RecoveryResult
    electronics: ElectronicsResult
    range_safety: RangeResult
    findings: tuple[Finding, ...]
    guesses: tuple[Guess, ...]
    verdict: Verdict
