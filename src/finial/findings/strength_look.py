"""The long look at strength: study and findings of one build sheet."""

from dataclasses import dataclass
from pathlib import Path

from finial.assemble.looks.answer import answer
from finial.assemble.strength.records import StrengthStudy
from finial.assemble.strength.study import strength_study
from finial.assemble.vehicle.loading import Vehicle
from finial.findings.check import Tell, load, silent
from finial.findings.finding import Finding, Verdict, overall
from finial.findings.limits import Limits
from finial.findings.rules.strength_study_rules import strength_study_findings
from finial.findings.strength_flights import hardest_flights


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthLook:
    """What ``finial strength`` shows."""

    name: str
    note: str
    us_units: bool
    study: StrengthStudy
    findings: tuple[Finding, ...]
    """Worst first, and by how little within one verdict."""
    verdict: Verdict
    limits: tuple[tuple[str, float], ...]
    """Limits that reserves were judged by: of strength, of flutter [-]."""
    flights: str
    """Which flights the loads are of, in words."""


def strength_look(path: Path, *, campaign: Path | None = None, tell: Tell = silent) -> StrengthLook:
    """Look long at the strength of a build sheet, under the hardest flights of a campaign if one is named.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet and its files.
    MeshError
        If a mesh cannot be used.
    CampaignError
        If the folder holds no campaign of this vehicle.
    """
    return look_at(load(path, tell=tell), campaign=campaign, tell=tell)


def look_at(vehicle: Vehicle, *, campaign: Path | None = None, tell: Tell = silent) -> StrengthLook:
    """Look long at the strength of a loaded vehicle."""
    from finial.flight.fly import make_ready

    make_ready(lambda: tell("compiling the flight, once on this machine; about half a minute"))
    tell("flying")
    limits = Limits(own=vehicle.sheet.limits.own)
    found = answer(vehicle)
    flown = hardest_flights(vehicle, campaign) if campaign else ()
    study = strength_study(
        found.basis, found.recovery, wanted_ratio=limits["flutter_ratio"].value, tell=tell, flown=flown
    )
    findings = sorted(strength_study_findings(study, limits, us_units=vehicle.us_units), key=_worst_first)
    return StrengthLook(
        name=vehicle.sheet.vehicle.name,
        note=vehicle.sheet.vehicle.note,
        us_units=vehicle.us_units,
        study=study,
        findings=tuple(findings),
        verdict=overall(findings),
        limits=tuple((name, limits[name].value) for name in ("reserve", "flutter_ratio")),
        flights="the nominal flight, its corners" + (" and the hardest of a campaign" if flown else ""),
    )


def _worst_first(finding: Finding) -> tuple[int, float]:
    return -finding.verdict, finding.margin if finding.margin is not None else float("inf")
