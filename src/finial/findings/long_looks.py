"""The looks that take longer: strength in every case, and the recovery followed in time."""

from collections.abc import Callable
from dataclasses import dataclass

from finial.assemble.looks.answer import StageResults
from finial.assemble.recovery.records import RecoveryStudy
from finial.assemble.recovery.study import recovery_study
from finial.assemble.strength.records import StrengthStudy
from finial.assemble.strength.study import StrengthInputs, strength_study
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.content import content_hash
from finial.core.errors import FinialError
from finial.files.kept import kept
from finial.files.sheet import Sheet
from finial.findings.finding import Finding, Fix, Verdict
from finial.findings.limits import Limits
from finial.findings.readiness import Depth
from finial.findings.rule import Rule
from finial.findings.rules.recovery_rules import recovery_findings
from finial.findings.rules.recovery_study_rules import study_findings
from finial.findings.rules.strength_rules import heat_findings, reserve_findings
from finial.findings.rules.strength_study_rules import strength_study_findings
from finial.flight.trace import Trace
from finial.structure.reserves import Because

Tell = Callable[[str], None]
STRENGTH, RECOVERY = "strength", "recovery"
NOT_LOOKED = frozenset({"strength-looked", "recovery-looked"})
"""Keys of what stands in for a look that was not made."""
LEFT_TO_MODES = frozenset({Because.SCREEN_ONLY.value, Because.STAYS_UNSEEN.value})
"""Why flutter may stay open in the quick look, and in that alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What the looks at strength and recovery came to."""

    depth: Depth
    strength: StrengthStudy | None = None
    recovery: RecoveryStudy | None = None
    hardest_flights: bool = False
    findings: tuple[Finding, ...]


def left_open(finding: Finding) -> bool:
    """Whether a finding only says that a longer look decides."""
    unsettled = finding.verdict is Verdict.NOT_KNOWN and not LEFT_TO_MODES.isdisjoint(finding.reasons)
    return finding.key in NOT_LOOKED or unsettled


def looked_quickly(found: StageResults, limits: Limits) -> Looked:
    """Judge by closed forms, and say that nobody has looked longer."""
    findings = (
        *_quick_strength(found, limits),
        *recovery_findings(found.recovery, limits),
        *(_not_looked(stage, "look") for stage in (STRENGTH, RECOVERY)),
    )
    return Looked(depth=Depth.QUICK, findings=findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class _How:
    """Under which further flights the looks are made, and whether they propose anything."""

    flown: tuple[Trace, ...] = ()
    tell: Tell
    proposes: bool
    """Stays that fins without them lack, and builds changed so that a lip lasts."""


def looked_long(found: StageResults, limits: Limits, flown: tuple[Trace, ...], tell: Tell) -> Looked:
    """Look long at both; one that cannot be made is not known."""
    return _looked(found, limits, _How(flown=flown, tell=tell, proposes=True))


def looked_whether(found: StageResults, limits: Limits) -> Looked:
    """Look as long, but only at whether it holds: what nobody reads of a vehicle tried is not proposed."""
    return _looked(found, limits, _How(tell=lambda _note: None, proposes=False))


def _looked(found: StageResults, limits: Limits, how: _How) -> Looked:
    recovery, by_recovery = _recovery(found, limits, how)
    strength, by_strength = _strength(found, recovery, limits, how)
    return Looked(
        depth=Depth.WHOLE,
        strength=strength,
        recovery=recovery,
        hardest_flights=bool(how.flown),
        findings=(*by_strength, *by_recovery),
    )


def _strength(
    found: StageResults, followed: RecoveryStudy | None, limits: Limits, how: _How
) -> tuple[StrengthStudy | None, list[Finding]]:
    inputs = StrengthInputs(
        recovery=found.recovery,
        followed=followed,
        ends=found.inside.fittings.bay_ends,
        wanted_ratio=limits["flutter_ratio"].value if how.proposes else 0.0,
        flown=how.flown,
    )
    try:
        study = kept(
            STRENGTH,
            content_hash(read_by_looks(found.vehicle), inputs.wanted_ratio, how.flown, followed is not None),
            lambda: strength_study(found.basis, inputs, how.tell),
        )
    except FinialError as error:
        return None, [*_quick_strength(found, limits), _not_looked(STRENGTH, "stopped", str(error))]
    return study, strength_study_findings(study, limits)


def _quick_strength(found: StageResults, limits: Limits) -> list[Finding]:
    return [*reserve_findings(found.strength.reserves, limits), *heat_findings(found.strength.heat)]


def _recovery(found: StageResults, limits: Limits, how: _How) -> tuple[RecoveryStudy | None, list[Finding]]:
    quick = recovery_findings(found.recovery, limits)
    try:
        study = kept(
            RECOVERY,
            content_hash(read_by_looks(found.vehicle), how.proposes),
            lambda: recovery_study(found.basis, found.recovery, how.tell, proposes=how.proposes),
        )
    except FinialError as error:
        return None, [*quick, _not_looked(RECOVERY, "stopped", str(error))]
    return study, [*quick, *study_findings(study, limits)]


def read_by_looks(vehicle: LoadedVehicle) -> tuple[object, ...]:
    """Everything of a vehicle that the long looks read; limits and what the code asks are judged later."""
    sheet, files = vehicle.sheet, vehicle.files
    left_out = ("limits", "scatter", "electronics")
    tables = {name: value for name, value in tables_in_si(sheet).items() if name not in left_out}
    meshes = tuple((part.mended.mesh, part.solid) for part in vehicle.parts)
    read = (tables, sheet.scatter.event_delay, files.site, files.wind_column)
    return (*read, meshes, vehicle.skin, vehicle.mesh_fins, vehicle.motor)


def tables_in_si(sheet: Sheet) -> dict[str, object]:
    """Return the tables of a sheet, alike whichever units it shows: what is computed is so in SI."""
    return {**dict(sheet), "vehicle": sheet.vehicle.model_copy(update={"show_units": "metric"})}


def _not_looked(stage: str, key: str, error: str = "") -> Finding:
    """Say that a look was not made, which is not known, and how to make it."""
    rule = Rule(key=f"{stage}-looked", stage=stage, safety=True)
    return rule.holds(Verdict.NOT_KNOWN, fixes=(Fix(key=key, facts={"error": error}),))
