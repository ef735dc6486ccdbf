"""The answer to a sheet that is only begun: what it gives already, and the next steps."""

from dataclasses import dataclass
from pathlib import Path

from finial.assemble.air.results import AirResult
from finial.assemble.looks.begun import begun_answer
from finial.assemble.mass.results import WeighedSoFar
from finial.assemble.start.motors import motor_fits
from finial.assemble.vehicle.bed import parts_on_bed
from finial.assemble.vehicle.floating import floating_parts
from finial.assemble.vehicle.loading import LoadedVehicle, built
from finial.assemble.vehicle.results import ShapeResult
from finial.files.sheet import sheet_from
from finial.files.unfinished import sheet_of_mesh
from finial.findings.check import Tell, silent
from finial.findings.finding import Finding, Verdict, overall, worst_first
from finial.findings.limits import Limits
from finial.findings.rules.air_rules import air_findings
from finial.findings.rules.entered_rules import MOTOR, entered_findings, guessed_findings
from finial.findings.rules.limits_rules import limits_findings
from finial.findings.rules.printing_rules import printing_findings
from finial.findings.rules.shape_rules import shape_findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """Shape, mass and air; everything that needs a motor or a launch is not known."""

    name: str
    note: str
    sheet_file: str
    us_units: bool
    shape: ShapeResult
    mass: WeighedSoFar | None
    """``None`` where nobody says what it is made of."""
    air: AirResult
    findings: tuple[Finding, ...]
    verdict: Verdict


def begun(vehicle: LoadedVehicle, *, weighed: bool = True) -> Begun:
    """Answer for a vehicle whose sheet lacks its motor or its launch; never better than not known."""
    found = begun_answer(vehicle)
    files, sheet = vehicle.files, vehicle.sheet
    limits = Limits(own=sheet.limits.own)
    findings = worst_first(
        [
            *entered_findings(
                files, weighed=weighed, fits=motor_fits(vehicle) if MOTOR in files.missing else None
            ),
            *guessed_findings(sheet.part),
            *limits_findings(limits),
            *shape_findings(found.shape, floating_parts(vehicle.parts)),
            *printing_findings(parts_on_bed(vehicle)),
            *air_findings(found.air, limits),
        ]
    )
    return Begun(
        name=sheet.vehicle.name,
        note=sheet.vehicle.note,
        sheet_file=str(files.path),
        us_units=vehicle.us_units,
        shape=found.shape,
        mass=found.mass if weighed else None,
        air=found.air,
        findings=findings,
        verdict=overall(findings),
    )


def begun_of_mesh(
    mesh: Path, *, unit: str | None, up: str = "+z", us_units: bool = False, tell: Tell = silent
) -> Begun:
    """Answer for a mesh without a sheet.

    Raises
    ------
    BuildSheetError
        If the mesh or its unit cannot be used.
    """
    files = sheet_from(sheet_of_mesh(mesh, unit, up, us_units=us_units))
    return begun(built(files, tell), weighed=False)
