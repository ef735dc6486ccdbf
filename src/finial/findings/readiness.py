"""The whole answer to one build sheet."""

from dataclasses import dataclass

from finial.assemble.results import (
    AirResult,
    ElectronicsResult,
    FlightResult,
    Guess,
    MassResult,
    RangeResult,
    RecoveryResult,
    ShapeResult,
    StabilityPoint,
    StrengthResult,
)
from finial.findings.finding import Finding, Verdict


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
