"""Which motors of a folder fit this vehicle on this day, and why each other one does not."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from finial.assemble.day import wind_at_ten_metres
from finial.assemble.looks.answer import StageResults, answer
from finial.assemble.vehicle.loading import LoadedVehicle, motor_of, with_motor
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.errors import Fault, FinialError
from finial.core.estimates import exact
from finial.files.motor_data import MotorData
from finial.files.motor_folder import MotorFile
from finial.findings.check import day_and_place
from finial.findings.finding import Finding, Subject, Verdict
from finial.findings.limits import Limits
from finial.findings.range_stage import range_result
from finial.findings.rule import Rule
from finial.findings.rules.flight_rules import flight_findings
from finial.findings.rules.motor_rules import MISFIT, claims_of, mount_findings
from finial.findings.rules.range_rules import range_findings
from finial.findings.rules.stability_rules import stability_findings
from finial.motors.claims import ClaimCheck, claim_checks
from finial.motors.curve import designation

MOST_G = 15.0
"""Acceleration that printed vehicles are usually kept under [g]; common practice."""
_OF_THE_MOTOR = frozenset({"ceiling", "lands-inside", "crowd-distance"})
MOST_G_RULE = Rule(key="motor-acceleration", stage="flight", source="common practice")
CANNOT_FLY = Rule(key="motor-cannot-fly", stage="flight")
UNREADABLE = Rule(key="motor-unreadable", stage="flight")


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorRow:
    """One motor: what it would do, and what speaks against it."""

    file: str
    name: str
    designation: str = ""
    impulse_n_s: float | None = None
    thrust_to_weight: float | None = None
    rail_exit_m_s: float | None = None
    apogee_m: float | None = None
    top_g: float | None = None
    margin_m: float | None = None
    """Worst margin at its bad end [m]."""
    reasons: tuple[Finding, ...] = ()
    """Why not; empty when it meets everything asked."""
    claims: tuple[ClaimCheck, ...] = ()

    @property
    def meets(self) -> bool:
        """True when nothing speaks against it."""
        return not self.reasons


def motor_rows(
    vehicle: LoadedVehicle,
    files: Iterable[MotorFile],
    most_g: float = MOST_G,
    told: Callable[[int], None] = lambda done: None,
) -> tuple[MotorRow, ...]:
    """Try every motor in the vehicle's mount; those that meet everything first, by apogee.

    ``told`` hears how many are flown.
    """
    rows: list[MotorRow] = []
    for file in files:
        rows.append(_row(vehicle, file, most_g))
        told(len(rows))
    return tuple(sorted(rows, key=lambda row: (not row.meets, -(row.apogee_m or 0.0))))


def _row(vehicle: LoadedVehicle, file: MotorFile, most_g: float) -> MotorRow:
    if file.motor is None:
        return MotorRow(
            file=file.path.name, name=file.path.stem, reasons=tuple(map(_unreadable, file.faults))
        )
    motor = motor_of(file.motor)
    row = MotorRow(
        file=file.path.name,
        name=motor.name,
        designation=designation(motor),
        claims=claim_checks(motor, claims_of(file.motor)),
    )
    try:
        return _tried(row, vehicle, file.motor, most_g)
    except FinialError as error:
        told = CANNOT_FLY.holds(Verdict.NO_GO, facts={"error": str(error)})
        return replace(row, reasons=(told,))


def _unreadable(fault: Fault) -> Finding:
    facts = {"field": fault.field, "given": fault.given, "accepted": fault.accepted}
    return UNREADABLE.holds(Verdict.NO_GO, facts=facts)


def _tried(row: MotorRow, vehicle: LoadedVehicle, data: MotorData, most_g: float) -> MotorRow:
    """Fly it and judge it by the same rules as the whole check."""
    found = answer(with_motor(vehicle, data))
    flight, limits = found.flight, Limits(own=vehicle.sheet.limits.own)
    top_g = flight.max_acceleration_m_s2 / STANDARD_GRAVITY_M_S2
    findings = [
        *misfits(vehicle, data),
        *flight_findings(flight, limits, wind=wind_at_ten_metres(vehicle)),
        *stability_findings(found.stability, limits),
        *_of_range(found),
        MOST_G_RULE.at_most(exact(top_g), most_g),
    ]
    return replace(
        row,
        impulse_n_s=flight.impulse_n_s,
        thrust_to_weight=flight.thrust_to_weight.value,
        rail_exit_m_s=flight.rail_exit_speed.value if flight.rail_exit_speed else None,
        apogee_m=flight.apogee_agl.value,
        top_g=top_g,
        margin_m=min(point.margin.low for point in found.stability),
        reasons=tuple(finding for finding in findings if finding.fails),
    )


def _of_range(found: StageResults) -> list[Finding]:
    """Judge what of the range stage depends on the motor; the day's own stands in the check."""
    findings = range_findings(range_result(found), found.flight, day_and_place(found))
    return [finding for finding in findings if finding.key in _OF_THE_MOTOR]


def misfits(vehicle: LoadedVehicle, data: MotorData) -> Iterator[Finding]:
    """Judge whether it fits the mount; one without its room entered is judged by its motor of today."""
    mount, present = vehicle.sheet.motor, vehicle.files.motor
    takes = mount.takes or present.diameter
    yield from mount_findings(
        mount.model_copy(update={"takes": takes}), data.name, (data.diameter.value, data.length.value)
    )
    yield MISFIT.at_most(
        exact(data.length.value),
        mount.nozzle_station.value,
        subject=Subject(name=data.name, case="length ahead of the nozzle"),
    )
