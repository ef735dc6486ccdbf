"""The whole check: from a build sheet to findings and a verdict."""

from collections.abc import Callable
from pathlib import Path

from finial.assemble.day import wind_at_ten_metres
from finial.assemble.looks.answer import Answer, Changes, answer, changed
from finial.assemble.vehicle.bed import parts_on_bed
from finial.assemble.vehicle.field import field_radius_m
from finial.assemble.vehicle.loading import Vehicle, load_vehicle
from finial.core.estimates import KnownBy
from finial.findings.finding import Finding, overall
from finial.findings.guesses import guesses
from finial.findings.limits import Limits
from finial.findings.range_stage import codes_of, range_result
from finial.findings.readiness import Readiness
from finial.findings.rules.air_rules import air_findings
from finial.findings.rules.build_rules import build_findings
from finial.findings.rules.electronics_rules import electronics_findings
from finial.findings.rules.flight_rules import flight_findings
from finial.findings.rules.limits_rules import limits_findings
from finial.findings.rules.mass_rules import mass_findings
from finial.findings.rules.printing_rules import printing_findings
from finial.findings.rules.range_rules import DayAndPlace, range_findings
from finial.findings.rules.recovery_rules import recovery_findings
from finial.findings.rules.shape_rules import shape_findings
from finial.findings.rules.stability_rules import stability_findings
from finial.findings.rules.strength_rules import heat_findings, strength_findings

__all__ = ["Changes", "Vehicle", "check", "load", "readiness"]

Tell = Callable[[str], None]


def silent(_note: str) -> None:
    """Pass over a progress note."""


def check(path: Path, *, tell: Tell = silent) -> Readiness:
    """Go from a build sheet to findings and a verdict.

    Parameters
    ----------
    path : Path
        The build sheet.
    tell : callable
        Receives progress notes.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes.
    """
    return readiness(load(path, tell=tell), Changes(), tell=tell)


def load(path: Path, *, tell: Tell = silent) -> Vehicle:
    """Read a sheet and its meshes; the slow part, done once for many answers.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes.
    """
    return load_vehicle(path, tell, codes_of)


def readiness(vehicle: Vehicle, changes: Changes | None = None, *, tell: Tell = silent) -> Readiness:
    """Answer for a loaded vehicle, with ballast and fin span as changed."""
    from finial.flight.fly import make_ready

    make_ready(lambda: tell("compiling the flight, once on this machine; about half a minute"))
    tell("flying and judging")
    found = answer(changed(vehicle, changes or Changes()))
    range_safety = range_result(found)
    findings = _findings(found, range_safety)
    launch = vehicle.sheet.vehicle
    return Readiness(
        name=launch.name,
        note=launch.note,
        sheet_file=str(vehicle.files.path),
        us_units=vehicle.us_units,
        shape=found.shape,
        mass=found.mass,
        air=found.air,
        stability=found.stability,
        strength=found.strength,
        flight=found.flight,
        recovery=found.recovery,
        electronics=found.electronics,
        range_safety=range_safety,
        findings=findings,
        guesses=guesses(found, Limits(own=found.vehicle.sheet.limits.own)),
        verdict=overall(findings),
    )


def _findings(found: Answer, range_safety) -> tuple[Finding, ...]:
    """All findings, worst first, and by how little within one verdict."""
    sheet, us_units = found.vehicle.sheet, found.vehicle.us_units
    limits = Limits(own=sheet.limits.own)
    wind = wind_at_ten_metres(found.vehicle)
    wait = sheet.launch.wait_on_pad.estimate(KnownBy.MEASURED)
    findings = [
        *limits_findings(limits),
        *shape_findings(found.shape),
        *build_findings(
            sheet,
            motor_diameter_m=found.vehicle.motor.diameter_m,
            length_m=found.shape.skin.length_m,
            us_units=us_units,
        ),
        *printing_findings(parts_on_bed(found.vehicle), us_units=us_units),
        *mass_findings(found.mass, limits, us_units=us_units),
        *air_findings(found.air, limits, us_units=us_units),
        *stability_findings(found.stability, limits, us_units=us_units),
        *strength_findings(found.strength, limits, us_units=us_units),
        *heat_findings(found.strength, us_units=us_units),
        *flight_findings(found.flight, limits, wind=wind, us_units=us_units),
        *recovery_findings(found.recovery, limits, us_units=us_units),
        *electronics_findings(found.electronics, limits, wait=wait, us_units=us_units),
        *range_findings(range_safety, found.flight, _day(found), us_units=us_units),
    ]
    return tuple(sorted(findings, key=_worst_first))


def _worst_first(finding: Finding) -> tuple[int, float]:
    return -finding.verdict, finding.margin if finding.margin is not None else float("inf")


def _day(found: Answer) -> DayAndPlace:
    launch = found.vehicle.sheet.launch
    distance = launch.crowd_distance
    return DayAndPlace(
        wind=wind_at_ten_metres(found.vehicle),
        tilt=launch.tilt.estimate(KnownBy.MEASURED),
        crowd_distance=distance.estimate(KnownBy.MEASURED) if distance else None,
        field_radius_m=field_radius_m(found.vehicle.files),
    )
