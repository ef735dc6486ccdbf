"""The whole check: from a build sheet to findings and one verdict over every look."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from finial.assemble.day import pressure_off, wind_at_ten_metres
from finial.assemble.looks.answer import StageResults, answer
from finial.assemble.strength.cold import cold_cases
from finial.assemble.vehicle.bed import parts_on_bed
from finial.assemble.vehicle.changes import Changes, changed
from finial.assemble.vehicle.field import field_radius_m
from finial.assemble.vehicle.floating import floating_parts
from finial.assemble.vehicle.loading import LoadedVehicle, load_vehicle
from finial.assemble.vehicle.motors import thrust_wander_m
from finial.assemble.vehicle.nozzle import layers_of_parts
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import BuildSheetError
from finial.core.estimates import KnownBy
from finial.files.sheet import missing_faults
from finial.findings.after_loss import spoiled_by
from finial.findings.causes import gathered
from finial.findings.ends import NOT_BEFORE, end_findings
from finial.findings.finding import Finding, overall, worst_first
from finial.findings.guesses import guesses
from finial.findings.kept_tops import KeptTops, beside_campaign, kept_tops
from finial.findings.limits import Limits
from finial.findings.long_looks import Looked, looked_long, looked_quickly, looked_whether
from finial.findings.range_result import RangeResult
from finial.findings.range_stage import codes_of, known_code, nearest_people, range_result
from finial.findings.readiness import Depth, Readiness
from finial.findings.rules.air_rules import air_findings
from finial.findings.rules.build_rules import build_findings
from finial.findings.rules.cold_rules import cold_findings
from finial.findings.rules.electronics_rules import electronics_findings
from finial.findings.rules.entered_rules import guessed_findings
from finial.findings.rules.fit_rules import fit_findings, shape_and_things
from finial.findings.rules.flight_rules import flight_findings
from finial.findings.rules.glue_rules import glue_findings
from finial.findings.rules.limits_rules import limits_findings
from finial.findings.rules.mass_rules import mass_findings
from finial.findings.rules.motor_rules import burn_findings, motor_findings, said_of_motors
from finial.findings.rules.plausible_rules import flown_findings, plausible_findings, site_findings
from finial.findings.rules.printing_rules import layer_findings, printing_findings
from finial.findings.rules.range_rules import DayAndPlace, range_findings
from finial.findings.rules.recovery_doubts_rules import recovery_doubts_findings
from finial.findings.rules.sensing_rules import sensing_findings
from finial.findings.rules.shape_rules import shape_findings
from finial.findings.rules.stability_rules import stability_findings
from finial.flight.trace import Trace

Tell = Callable[[str], None]
NO_CHANGES: Changes = {}


def silent(_note: str) -> None:
    """Pass over a progress note."""


def check(path: Path, *, depth: Depth = Depth.WHOLE, tell: Tell = silent) -> Readiness:
    """Go from a build sheet to findings and a verdict.

    Parameters
    ----------
    path : Path
        The build sheet.
    depth : Depth
        How long to look.
    tell : callable
        Receives progress notes.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes.
    """
    vehicle = load(path, tell=tell)
    return readiness(vehicle, depth=depth, tops=kept_tops(vehicle), tell=tell)


def load(path: Path, *, tell: Tell = silent) -> LoadedVehicle:
    """Read a sheet and its meshes; the slow part, done once for many answers.

    Raises
    ------
    BuildSheetError
        With all faults in the sheet, its files and its meshes, and with all tables it lacks.
    """
    vehicle = load_begun(path, tell=tell)
    if vehicle.files.missing:
        raise BuildSheetError(missing_faults(vehicle.files))
    return vehicle


def load_begun(path: Path, *, tell: Tell = silent) -> LoadedVehicle:
    """Read a sheet that may lack tables: ``files.missing`` names those without which nothing flies.

    Raises
    ------
    BuildSheetError
        With all faults in what it has.
    """
    return load_vehicle(path, tell, codes_of, {"code": known_code})


def readiness(
    vehicle: LoadedVehicle,
    changes: Changes = NO_CHANGES,
    *,
    depth: Depth = Depth.WHOLE,
    flown: tuple[Trace, ...] = (),
    tops: KeptTops | None = None,
    tell: Tell = silent,
) -> Readiness:
    """Answer for a loaded vehicle with changes to its sheet, under further flights if there are any.

    ``tops`` are those of a campaign of it as it then is: its clocks are held against them.

    Raises
    ------
    BuildSheetError
        If the sheet lacks its motor or its launch, or does not take the changes.
    """
    found = _answered(vehicle, changes, tell)
    found = replace(found, electronics=beside_campaign(found.electronics, tops))
    return _judged(found, depth, lambda limits: looked_long(found, limits, flown, tell))


def tried(vehicle: LoadedVehicle, changes: Changes, *, depth: Depth, ends: bool = True) -> Readiness:
    """Answer for a vehicle whose changes are only tried: the same verdicts, without what a look proposes.

    Without ``ends`` nobody looks at the ends of its numbers, which takes two more long looks: enough to see
    that a change does not do.

    Raises
    ------
    BuildSheetError
        As ``readiness``.
    """
    found = _answered(vehicle, changes, silent)
    found = replace(found, electronics=beside_campaign(found.electronics, None))
    return _judged(found, depth, lambda limits: looked_whether(found, limits), ends=ends)


def _answered(vehicle: LoadedVehicle, changes: Changes, tell: Tell) -> StageResults:
    from finial.flight.fly import make_ready

    if vehicle.files.missing:
        raise BuildSheetError(missing_faults(vehicle.files))
    make_ready(lambda: tell("compiling the flight, once on this machine; about half a minute"))
    tell("flying and judging")
    return answer(changed(vehicle, changes))


def _judged(
    found: StageResults, depth: Depth, looked: Callable[[Limits], Looked], *, ends: bool = True
) -> Readiness:
    limits = Limits(own=found.vehicle.sheet.limits.own)
    look = looked(limits) if depth is Depth.WHOLE else looked_quickly(found, limits)
    range_safety = range_result(found)
    common = _findings(found, range_safety, limits)
    judged = [*common, *look.findings]
    if depth is Depth.WHOLE and found.flight.lost:
        judged.append(NOT_BEFORE)
    elif depth is Depth.WHOLE and ends:
        guessed = [*common, *looked_quickly(found, limits).findings]
        judged += end_findings(
            found.vehicle, judged, guessed, look=_quick_findings, look_long=_whole_findings
        )
    findings = gathered(worst_first(spoiled_by(found.flight.lost, judged)))
    return _readiness(found, look, range_safety, findings, limits)


def _quick_findings(vehicle: LoadedVehicle) -> tuple[Finding, ...]:
    return readiness(vehicle, depth=Depth.QUICK).findings


def _whole_findings(vehicle: LoadedVehicle) -> tuple[Finding, ...]:
    """Look at another vehicle for long, but not at the ends of its numbers again."""
    found = answer(vehicle)
    return looked_whether(found, Limits(own=vehicle.sheet.limits.own)).findings


def _readiness(
    found: StageResults,
    look: Looked,
    range_safety: RangeResult,
    findings: tuple[Finding, ...],
    limits: Limits,
) -> Readiness:
    vehicle = found.vehicle
    return Readiness(
        name=vehicle.sheet.vehicle.name,
        note=vehicle.sheet.vehicle.note,
        builder=vehicle.sheet.vehicle.builder,
        sheet_file=str(vehicle.files.path),
        us_units=vehicle.us_units,
        depth=look.depth,
        shape=found.shape,
        mass=found.mass,
        air=found.air,
        stability=found.stability,
        strength=found.strength,
        flight=found.flight,
        recovery=found.recovery,
        electronics=found.electronics,
        inside=found.inside,
        range_safety=range_safety,
        strength_study=look.strength,
        recovery_study=look.recovery,
        own_limits=dict(limits.own),
        hardest_flights=look.hardest_flights,
        findings=findings,
        guesses=guesses(found, limits),
        verdict=overall(findings),
    )


def _findings(found: StageResults, range_safety: RangeResult, limits: Limits) -> list[Finding]:
    """Everything that no longer look changes."""
    sheet, files = found.vehicle.sheet, found.vehicle.files
    wind = wind_at_ten_metres(found.vehicle)
    wait = sheet.launch.wait_on_pad.estimate(KnownBy.MEASURED)
    return [
        *limits_findings(limits),
        *plausible_findings(sheet, files.every_motor),
        *site_findings(files.site),
        *flown_findings(sheet, found.shape.skin.length_m),
        *recovery_doubts_findings(sheet),
        *shape_findings(found.shape, floating_parts(found.vehicle.parts)),
        *build_findings(
            sheet, motor_diameter_m=found.vehicle.motor.diameter_m, length_m=found.shape.skin.length_m
        ),
        *glue_findings(sheet, {part.spec.name: part.span_m for part in found.vehicle.parts}),
        *printing_findings(parts_on_bed(found.vehicle)),
        *layer_findings(layers_of_parts(found.vehicle)),
        *cold_findings(cold_cases(found.vehicle)),
        *guessed_findings(sheet.part),
        *mass_findings(found.mass, limits),
        *shape_and_things(
            fit_findings(found.inside, found.buttons, limits),
            [part.name for part in sheet.part if not part.outside],
            sheet.vehicle.up,
        ),
        *air_findings(found.air, limits),
        *stability_findings(found.stability, limits),
        *motor_findings(found.vehicle.motors, wander_m=thrust_wander_m(found.vehicle)),
        *burn_findings(found.vehicle.motor, weight_n=found.flight.lift_off_mass_kg * STANDARD_GRAVITY_M_S2),
        *said_of_motors(sheet.motor, tuple(zip(found.vehicle.motors, files.every_motor, strict=True))),
        *flight_findings(found.flight, limits, wind=wind),
        *electronics_findings(found.electronics, limits, wait=wait),
        *sensing_findings(found.electronics.sensing),
        *range_findings(range_safety, found.flight, day_and_place(found)),
    ]


def day_and_place(found: StageResults) -> DayAndPlace:
    """Collect what the sheet says of the day and the place."""
    launch = found.vehicle.sheet.launch
    return DayAndPlace(
        wind=wind_at_ten_metres(found.vehicle),
        tilt=launch.tilt.estimate(KnownBy.MEASURED),
        crowd_distance=nearest_people(found),
        field_radius_m=field_radius_m(found.vehicle.files),
        pressure_off=pressure_off(found.vehicle),
    )
