"""The long look at strength: study and findings of one build sheet."""

from dataclasses import dataclass
from pathlib import Path

from finial.assemble.answer import answer
from finial.assemble.loading import Vehicle
from finial.assemble.strength_records import StrengthStudy
from finial.assemble.strength_study import strength_study
from finial.findings.check import Tell, load, silent
from finial.findings.finding import Finding, Verdict, overall
from finial.findings.limits import Limits
from finial.findings.rules.strength_study_rules import strength_study_findings


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


def strength_look(path: Path, *, tell: Tell = silent) -> StrengthLook:
    """Look long at the strength of a build sheet.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet and its files.
    MeshError
        If a mesh cannot be used.
    """
    return look_at(load(path, tell=tell), tell=tell)


def look_at(vehicle: Vehicle, *, tell: Tell = silent) -> StrengthLook:
    """Look long at the strength of a loaded vehicle."""
    from finial.flight.fly import make_ready

    make_ready(lambda: tell("compiling the flight, once on this machine; about half a minute"))
    tell("flying")
    limits = Limits(own=vehicle.sheet.limits.own)
    found = answer(vehicle)
    study = strength_study(found, wanted_ratio=limits["flutter_ratio"].value, tell=tell)
    findings = sorted(strength_study_findings(study, limits, us_units=vehicle.us_units), key=_worst_first)
    return StrengthLook(
        name=vehicle.sheet.vehicle.name,
        note=vehicle.sheet.vehicle.note,
        us_units=vehicle.us_units,
        study=study,
        findings=tuple(findings),
        verdict=overall(findings),
        limits=tuple((name, limits[name].value) for name in ("reserve", "flutter_ratio")),
    )


def _worst_first(finding: Finding) -> tuple[int, float]:
    return -finding.verdict, finding.margin if finding.margin is not None else float("inf")
