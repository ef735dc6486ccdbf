"""The closer look at the recovery: study and findings of one build sheet."""

from dataclasses import dataclass
from pathlib import Path

from finial.assemble.looks.answer import answer
from finial.assemble.recovery.records import RecoveryStudy
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.recovery.study import recovery_study
from finial.findings.check import Tell, load, silent
from finial.findings.finding import Finding
from finial.findings.limits import Limits
from finial.findings.rules.recovery_rules import recovery_findings
from finial.findings.rules.recovery_study_rules import study_findings


@dataclass(frozen=True, slots=True, kw_only=True)
class RecoveryLook:
    """What ``finial recovery`` shows."""

    name: str
    us_units: bool
    recovery: RecoveryResult
    study: RecoveryStudy
    findings: tuple[Finding, ...]
    """Those of the check on the recovery, and those of the study, worst first."""


def recovery_look(path: Path, *, tell: Tell = silent) -> RecoveryLook:
    """Look closely at the recovery of a build sheet.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet and its files.
    MeshError
        If a mesh cannot be used.
    """
    from finial.flight.fly import make_ready

    vehicle = load(path, tell=tell)
    make_ready(lambda: tell("compiling the flight, once on this machine; about half a minute"))
    found = answer(vehicle)
    study = recovery_study(found.basis, found.recovery, tell)
    limits, us_units = Limits(own=vehicle.sheet.limits.own), vehicle.us_units
    findings = [
        *recovery_findings(found.recovery, limits, us_units=us_units),
        *study_findings(study, limits, us_units=us_units),
    ]
    return RecoveryLook(
        name=vehicle.sheet.vehicle.name,
        us_units=us_units,
        recovery=found.recovery,
        study=study,
        findings=tuple(sorted(findings, key=lambda finding: -finding.verdict)),
    )
