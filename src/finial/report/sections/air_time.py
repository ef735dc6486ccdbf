"""Flight and landing: what happens when, and where it comes down."""

import math

from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection, Table
from finial.report.shown import Shown, bearing


def flight_section(readiness: Readiness) -> ReportSection:
    """Motor, rail, apogee, and the time line."""
    flight, shown = readiness.flight, Shown(us_units=readiness.us_units)
    events = Table(
        title="Time line, from ignition",
        columns=("event", "time", "height above ground", "speed"),
        rows=tuple(
            (
                event.name,
                f"{event.time_s:.2f} s",
                shown.height(event.height_agl_m),
                shown.speed(event.speed_m_s),
            )
            for event in flight.trace.events
        ),
        numbers=(1, 2, 3),
    )
    motor = (
        f"{flight.motor_name}, class {flight.motor_letter}, "
        f"{shown.plain(flight.impulse_n_s, Dimension.IMPULSE)}, "
        f"{shown.plain(flight.average_thrust_n, Dimension.FORCE)} average"
    )
    ended = () if flight.trace.landed else (f"The computed flight stopped early: {flight.trace.ended}.",)
    return ReportSection(
        key="flight",
        title="Flight",
        facts=(
            ("motor", motor),
            ("lift-off mass", shown.plain(flight.lift_off_mass_kg, Dimension.MASS)),
            ("thrust to weight", shown.judged(flight.thrust_to_weight, None)),
            ("speed off the rail", shown.judged(flight.rail_exit_speed, Dimension.SPEED)),
            ("angle of attack off the rail", shown.angle(flight.rail_exit_alpha_rad)),
            ("apogee above ground", shown.judged(flight.apogee_agl, Dimension.LENGTH)),
            ("top speed", f"{shown.judged(flight.max_speed, Dimension.SPEED)}; Mach {flight.max_mach:.2f}"),
            ("top acceleration", f"{flight.max_acceleration_m_s2 / STANDARD_GRAVITY_M_S2:.1f} g"),
            ("top dynamic pressure", shown.plain(flight.max_dynamic_pressure_pa, Dimension.PRESSURE)),
            ("time in the air", shown.plain(flight.flight_time_s, Dimension.TIME)),
        ),
        tables=(events,),
        notes=ended,
        pictures=("flight_traces",),
    )


def landing_section(readiness: Readiness) -> ReportSection:
    """Where the nominal flight lands."""
    flight, shown = readiness.flight, Shown(us_units=readiness.us_units)
    east, north = flight.landing_east_m, flight.landing_north_m
    return ReportSection(
        key="landing",
        title="Drift and landing point",
        facts=(
            ("distance from the pad", shown.judged(flight.drift, Dimension.LENGTH)),
            ("bearing from the pad", bearing(math.atan2(east, north))),
            ("east, north", f"{shown.height(east)}, {shown.height(north)}"),
        ),
        notes=("For the wind and the rail tilt in the build sheet; look again on the day.",),
        pictures=("drift_plan",),
    )
