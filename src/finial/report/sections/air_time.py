"""Flight and landing: what happens when, and where it comes down."""

import math
from collections.abc import Iterator

from finial.assemble.flights.results import UNHELD_RAD, FlightResult, Loss
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.readiness import Readiness
from finial.flight.gallops import NEVER_RAD
from finial.report.document import ReportSection, Table
from finial.report.finding_words import limit
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
    return ReportSection(
        key="flight",
        title="Flight",
        facts=(
            ("motor", motor),
            ("lift-off mass", shown.plain(flight.lift_off_mass_kg, Dimension.MASS)),
            ("thrust to weight", shown.judged(flight.thrust_to_weight, None)),
            *_rail(flight, shown),
            ("apogee above ground", shown.judged(flight.apogee_agl, Dimension.LENGTH)),
            ("top speed", f"{shown.judged(flight.max_speed, Dimension.SPEED)}; Mach {flight.max_mach:.2f}"),
            ("top acceleration", f"{flight.max_acceleration_m_s2 / STANDARD_GRAVITY_M_S2:.1f} g"),
            ("top dynamic pressure", shown.plain(flight.max_dynamic_pressure_pa, Dimension.PRESSURE)),
            *_swing(readiness, shown),
            ("time in the air", shown.plain(flight.flight_time_s, Dimension.TIME)),
        ),
        tables=(events,),
        notes=tuple(_notes(flight)),
        pictures=("flight_traces",),
    )


def _swing(readiness: Readiness, shown: Shown) -> Iterator[tuple[str, str]]:
    """Tell how far it flies in one swing, how fast swings die out, and from which angle they may not."""
    flight = readiness.flight
    if flight.swinging:
        ratio = shown.judged(flight.swinging.damping_ratio, None)
        wave = shown.between(flight.swinging.wavelength, Dimension.LENGTH)
        asked, long = (
            [limit(one, shown) for one in readiness.findings if one.key == key]
            for key in ("swing", "air-keeps-up")
        )
        yield "one swing in pitch takes", "; ".join([wave, *long])
        yield "damping of a swing, 1 ends it", "; ".join([ratio, *asked])
    if flight.galloping_angle:
        yield "flats feed a swing from", _from_angle(flight.galloping_angle, shown)
    yield "vortices push aside from", shown.judged(flight.lopsided_angle, Dimension.ANGLE)


def _from_angle(angle: Estimate, shown: Shown) -> str:
    """Write the angle, and say so where it is none."""
    if angle.low >= NEVER_RAD:
        return "no angle"
    if angle.high >= NEVER_RAD:
        return f"{shown.angle(angle.low)} or more, or no angle, {angle.known_by.word}"
    return shown.judged(angle, Dimension.ANGLE)


def _rail(flight: FlightResult, shown: Shown) -> Iterator[tuple[str, str]]:
    """Tell how it leaves the rail, and how far the thrust passes beside the balance point."""
    yield "speed off the rail", shown.judged(flight.rail_exit_speed, Dimension.SPEED)
    if flight.rail:
        left = flight.rail
        fore, aft = (shown.between(one, Dimension.SPEED) for one in (left.fore_speed, left.aft_speed))
        yield "fore button leaves at, aft button at", f"{fore}, {aft}"
        yield "wind at the rail's end", shown.between(left.wind, Dimension.WIND_SPEED)
        yield "angle it makes off the rail", shown.judged(left.wind_angle, Dimension.ANGLE)
    if flight.thrust_line:
        line = flight.thrust_line
        balance, thrust = (
            ", ".join(shown.between(one, Dimension.LENGTH) for one in pair)
            for pair in (line.balance_across, line.thrust_across)
        )
        yield "balance point off the axis", balance
        yield "line of thrust off the axis", thrust
        yield "held by the fins at", _held(line.held_angle, shown)


def _held(angle: Estimate, shown: Shown) -> str:
    """Write the angle, and say so where none up to a quarter turn holds."""
    if angle.value >= UNHELD_RAD:
        return "no angle: it turns over"
    if angle.high >= UNHELD_RAD:
        return f"{shown.angle(angle.value)}; at the bad end no angle holds it"
    return shown.judged(angle, Dimension.ANGLE)


def _notes(flight: FlightResult) -> Iterator[str]:
    """Say which flights went wrong, and that what follows from them is not to be used."""
    if not flight.trace.landed:
        yield f"The computed flight stopped early: {flight.trace.ended}."
    if not flight.lost:
        return
    for lost in flight.lost:
        burning = " under thrust" if lost.under_thrust and lost.loss is Loss.TURNED_OVER else ""
        yield f"Lost: the {lost.flight} flight at {lost.time_s:.1f} s, {lost.loss}{burning}."
    yield "What follows from a lost flight (heights, speeds, loads, landing) is not to be used."


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
