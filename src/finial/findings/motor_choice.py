"""Which motors of a folder fit this vehicle on this day, and why each other one does not."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from finial.assemble.day import wind_at_ten_metres
from finial.assemble.looks.answer import Answer, answer
from finial.assemble.vehicle.field import field_radius_m
from finial.assemble.vehicle.loading import Vehicle, motor_of, with_motor
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension
from finial.core.errors import FinialError
from finial.core.estimates import KnownBy
from finial.core.units import show
from finial.files.motor_data import MotorData
from finial.files.motor_folder import MotorFile
from finial.findings.finding import Finding, Verdict
from finial.findings.limits import Limits
from finial.findings.range_stage import range_result
from finial.findings.rules.flight_rules import flight_findings
from finial.findings.rules.range_rules import DayAndPlace, range_findings
from finial.findings.rules.stability_rules import stability_findings
from finial.motors.claims import ClaimCheck, Claims, claim_checks
from finial.motors.curve import designation

MOST_G = 15.0
"""Acceleration that printed vehicles are usually kept under [g]; common practice."""
_OF_THE_MOTOR = frozenset({"apogee under the ceiling", "landing inside the field", "distance to people"})


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
    reasons: tuple[str, ...] = ()
    """Why not; empty when it meets everything asked."""
    claims: tuple[ClaimCheck, ...] = ()

    @property
    def meets(self) -> bool:
        """True when nothing speaks against it."""
        return not self.reasons


def motor_rows(vehicle: Vehicle, files: Iterable[MotorFile], most_g: float = MOST_G) -> tuple[MotorRow, ...]:
    """Try every motor in the vehicle's mount; those that meet everything first, by apogee."""
    rows = [_row(vehicle, file, most_g) for file in files]
    return tuple(sorted(rows, key=lambda row: (not row.meets, -(row.apogee_m or 0.0))))


def _row(vehicle: Vehicle, file: MotorFile, most_g: float) -> MotorRow:
    if file.motor is None:
        reasons = tuple(f"{fault.field}: {fault.given}; accepted: {fault.accepted}" for fault in file.faults)
        return MotorRow(file=file.path.name, name=file.path.stem, reasons=reasons)
    motor = motor_of(file.motor)
    row = MotorRow(
        file=file.path.name,
        name=motor.name,
        designation=designation(motor),
        claims=claim_checks(motor, _claims(file.motor)),
    )
    try:
        return _tried(row, vehicle, file.motor, most_g)
    except FinialError as error:
        return replace(row, reasons=(f"cannot be flown: {error}",))


def _claims(data: MotorData) -> Claims:
    return Claims(
        impulse_n_s=data.claimed_impulse.value if data.claimed_impulse else None,
        average_thrust_n=data.claimed_average_thrust.value if data.claimed_average_thrust else None,
        burn_time_s=data.claimed_burn_time.value if data.claimed_burn_time else None,
        letter=data.claimed_letter,
    )


def _tried(row: MotorRow, vehicle: Vehicle, data: MotorData, most_g: float) -> MotorRow:
    """Fly it and judge it by the same rules as the whole check."""
    found = answer(with_motor(vehicle, data))
    flight, us_units = found.flight, vehicle.us_units
    limits = Limits(own=vehicle.sheet.limits.own)
    findings = [
        *flight_findings(flight, limits, wind=wind_at_ten_metres(vehicle), us_units=us_units),
        *stability_findings(found.stability, limits, us_units=us_units),
        *_of_range(found, us_units),
    ]
    top_g = flight.max_acceleration_m_s2 / STANDARD_GRAVITY_M_S2
    reasons = [*_misfits(vehicle, data), *map(_words, filter(_speaks_against, findings))]
    if top_g > most_g:
        reasons.append(f"pulls {top_g:.1f} g, more than {most_g:g} g")
    return replace(
        row,
        impulse_n_s=flight.impulse_n_s,
        thrust_to_weight=flight.thrust_to_weight.value,
        rail_exit_m_s=flight.rail_exit_speed.value if flight.rail_exit_speed else None,
        apogee_m=flight.apogee_agl.value,
        top_g=top_g,
        margin_m=min(point.margin.low for point in found.stability),
        reasons=tuple(reasons),
    )


def _of_range(found: Answer, us_units: bool) -> list[Finding]:
    """Judge what of the range stage depends on the motor; the day's own stands in the check."""
    launch = found.vehicle.sheet.launch
    day = DayAndPlace(
        wind=wind_at_ten_metres(found.vehicle),
        tilt=launch.tilt.estimate(KnownBy.MEASURED),
        crowd_distance=launch.crowd_distance.estimate(KnownBy.MEASURED) if launch.crowd_distance else None,
        field_radius_m=field_radius_m(found.vehicle.files),
    )
    findings = range_findings(range_result(found), found.flight, day, us_units=us_units)
    return [finding for finding in findings if finding.name in _OF_THE_MOTOR]


def _speaks_against(finding: Finding) -> bool:
    return finding.verdict in (Verdict.NO_GO, Verdict.NOT_KNOWN)


def _words(finding: Finding) -> str:
    value = finding.value
    if value is None:
        return f"{finding.name}: {finding.verdict.words}; {finding.limit}"
    dimension = finding.dimension
    bad = value.low if finding.limit.startswith("at least") else value.high
    shown = f"{bad:.3g}" if dimension is None else show(bad, dimension)
    return f"{finding.name}: {shown} at its bad end; {finding.limit}"


def _misfits(vehicle: Vehicle, data: MotorData) -> Iterator[str]:
    mount, present = vehicle.sheet.motor, vehicle.files.motor
    thickest = mount.takes or present.diameter
    us_units = vehicle.us_units
    if data.diameter.value > thickest.value * 1.001:
        yield (
            f"too thick: {show(data.diameter.value, Dimension.LENGTH, us_units)} in a mount for "
            f"{show(thickest.value, Dimension.LENGTH, us_units)}"
        )
    if mount.room is not None and data.length.value > mount.room.value:
        yield (
            f"too long: {show(data.length.value, Dimension.LENGTH, us_units)} where there is room for "
            f"{show(mount.room.value, Dimension.LENGTH, us_units)}"
        )
    if data.length.value > mount.nozzle_station.value:
        yield "longer than the vehicle ahead of its nozzle"
