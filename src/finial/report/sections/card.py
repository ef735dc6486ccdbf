"""All that an officer asks at the table: what it is, how it flies and comes down, and who stands where."""

from collections.abc import Iterator

from finial.assemble.electronics.results import ArmingOdds
from finial.core.dimensions import Dimension
from finial.findings.finding import Verdict
from finial.findings.readiness import Readiness
from finial.flight.trace import EventKind, Trace
from finial.range_safety.limits import CodeLimits
from finial.report.sections.electronics import odds_words
from finial.report.sections.field import as_read
from finial.report.shown import NOT_KNOWN, Shown, bearing

Facts = tuple[tuple[str, str], ...]
_BEFORE_BURNOUT = frozenset({EventKind.LIFT_OFF, EventKind.FORE_LEAVES, EventKind.RAIL_EXIT})
LOST = "not to be used: a computed flight is lost"


def card(readiness: Readiness) -> tuple[tuple[str, Facts], ...]:
    """Return groups of facts under their headings, in the units of the sheet."""
    shown = Shown(us_units=readiness.us_units)
    return (
        ("Vehicle", tuple(_vehicle(readiness, shown))),
        ("Flight", tuple(_flight(readiness, shown))),
        ("Down", tuple(_down(readiness, shown))),
        ("People and place", tuple(_place(readiness, shown))),
        ("Electronics", tuple(_electronics(readiness))),
    )


def _vehicle(readiness: Readiness, shown: Shown) -> Iterator[tuple[str, str]]:
    mass, flight, rules = readiness.mass, readiness.flight, readiness.range_safety
    yield "builder", readiness.builder or "not entered"
    impulse = shown.plain(flight.impulse_n_s, Dimension.IMPULSE)
    thrust = shown.plain(flight.average_thrust_n, Dimension.FORCE)
    yield "motor", f"{flight.motor_name}: class {flight.motor_letter}, {impulse}, {thrust} on average"
    power = "high power, its flyer certified" if rules.is_high_power else "not high power"
    yield "class", f"{rules.faa_class} of 14 CFR 101.22; {power}"
    yield "mass at lift-off", shown.between(mass.lift_off_mass, Dimension.MASS)
    yield "weighed, hung", _weighed(readiness)
    skin = readiness.shape.skin
    across = " x ".join(map(shown.length, readiness.shape.across_m))
    yield "size", f"{shown.length(skin.length_m)} long, {across} across"
    if readiness.stability:
        worst = min(readiness.stability, key=lambda point: point.margin.low)
        least = f"{worst.margin.low / worst.width_m:.2f} widths at its bad end"
        margin = shown.between(worst.margin, Dimension.LENGTH, worst.length_m)
        yield "least margin", f"{margin} at {worst.moment}; {least}"


def _weighed(readiness: Readiness) -> str:
    whole = readiness.mass.weighed
    if whole is None:
        return "never"
    return "weighed and hung" if whole.balance else "weighed, not hung"


def _flight(readiness: Readiness, shown: Shown) -> Iterator[tuple[str, str]]:
    flight, day = readiness.flight, readiness.range_safety.day
    if day is not None:
        lean = f"{shown.angle(day.rail_tilt_rad)} towards {bearing(day.rail_toward_rad)}"
        yield "rail", f"{shown.length(day.rail_length_m)}, leaning {lean}"
        yield "wind", f"{shown.between(day.wind, Dimension.WIND_SPEED)} from {bearing(day.wind_from_rad)}"
    if not flight.usable:
        yield "speed off the rail, apogee", LOST
        return
    yield "thrust over weight", shown.between(flight.thrust_to_weight, Dimension.RATIO)
    yield "speed off the rail", shown.between(flight.rail_exit_speed, Dimension.SPEED)
    ceiling = readiness.range_safety.ceiling_agl_m
    above = f"; ceiling {shown.length(ceiling)}" if ceiling is not None else "; ceiling not entered"
    yield "apogee above ground", shown.between(flight.apogee_agl, Dimension.LENGTH) + above
    yield "top speed", shown.between(flight.max_speed, Dimension.SPEED)
    yield "events, from ignition", "; ".join(_events(flight.trace, shown))


def _events(trace: Trace, shown: Shown) -> Iterator[str]:
    """Tell what happens when and how high, from burnout on."""
    for event in trace.events:
        if event.kind not in _BEFORE_BURNOUT:
            yield f"{event.name} {event.time_s:.1f} s, {shown.height(event.height_agl_m)}"


def _down(readiness: Readiness, shown: Shown) -> Iterator[tuple[str, str]]:
    recovery, flight = readiness.recovery, readiness.flight
    for canopy in recovery.canopies:
        yield canopy.name, f"comes down at {shown.between(canopy.descent_speed, Dimension.SPEED)}"
    yield "at the ground", shown.between(recovery.landing_speed, Dimension.SPEED)
    heaviest = max(recovery.landings, key=lambda one: one.mass_kg, default=None)
    if heaviest is not None:
        yield "its heaviest piece", shown.between(heaviest.with_wind, Dimension.ENERGY)
    yield "lands from the pad", shown.between(flight.drift, Dimension.LENGTH) if flight.usable else LOST
    yield "with nothing out", _unopened(readiness, shown)
    tests = [one for one in readiness.findings if one.key == "ground-test"]
    done = sum(one.verdict is Verdict.GO for one in tests)
    yield "charges ground-tested", f"{done} of {len(tests)}" if tests else f"{NOT_KNOWN}: no charge entered"


def _unopened(readiness: Readiness, shown: Shown) -> str:
    if not readiness.flight.usable:
        return LOST
    study = readiness.recovery_study
    return "not looked at" if study is None else shown.between(study.unopened_distance, Dimension.LENGTH)


def _place(readiness: Readiness, shown: Shown) -> Iterator[tuple[str, str]]:
    rules = readiness.range_safety
    if rules.day is not None:
        yield "pad", f"{rules.day.site}, {shown.length(rules.day.ground_asl_m)} above the sea"
    yield "code", f"{rules.code}, {rules.edition}"
    yield "it asks for", "; ".join(_asked(rules.limits, shown))
    yield "people beyond", f"{shown.length(rules.minimum_distance_m)}; {_people(readiness, shown)}"
    if rules.bystander_minimum_m is not None:
        yield "bystanders beyond", shown.length(rules.bystander_minimum_m)
    asked = shown.length(rules.field_minimum_m)
    yield "field's least side", f"{shown.length(rules.field_side_m)}; asked {asked}"


def _asked(limits: CodeLimits, shown: Shown) -> Iterator[str]:
    """Tell what the code asks of the day and of those in charge; who governs the field may ask for more."""
    yield as_read(limits, "wind", f"wind up to {shown.wind(limits.wind_m_s)}")
    yield as_read(limits, "tilt", f"tilt up to {shown.angle(limits.tilt_rad)}")
    wait = shown.plain(limits.misfire_wait_s, Dimension.TIME)
    yield as_read(limits, "misfire wait", f"{wait} after a misfire")
    if limits.licensed_operator:
        yield "a licensed operator in charge"


def _people(readiness: Readiness, shown: Shown) -> str:
    """Say how far people stand, as the sheet has it."""
    told = next((one.value for one in readiness.findings if one.key == "crowd-distance"), None)
    return f"they stand at {NOT_KNOWN if told is None else shown.between(told, Dimension.LENGTH)}"


def _electronics(readiness: Readiness) -> Iterator[tuple[str, str]]:
    found = readiness.electronics
    paths = sorted({path.path.canopy for path in found.paths})
    counted = [(one, sum(path.path.canopy == one for path in found.paths)) for one in paths]
    yield "computers", str(found.computers)
    yield "armed by", "; ".join(_armed(one) for one in found.arming) or f"{NOT_KNOWN}: no computer entered"
    yield "firing paths", ", ".join(f"{one}: {count}" for one, count in counted) or "none"
    if found.fires_near is not None:
        yield "fires among people", f"{odds_words(found.fires_near)}, assumed unless counted"
    alone = ", ".join(dict.fromkeys(point.part.name for point in found.single_points))
    nothing = "nothing that can be doubled" if found.paths else f"{NOT_KNOWN}: nothing is wired to fire"
    yield "would fail alone", alone or nothing


def _armed(one: ArmingOdds) -> str:
    """Say what arms a computer: one after the other in a row, either of those side by side."""
    return f"{one.computer}: " + (
        " then ".join(" or ".join(group) for group in one.switches) or "NO SWITCH, live once plugged in"
    )
