"""Range safety, and the guesses that decide the answer."""

from finial.assemble.day import DayResult
from finial.atmosphere.wind import REFERENCE_HEIGHT_M
from finial.core.dimensions import Dimension
from finial.findings.range_result import RangeResult
from finial.findings.readiness import Readiness
from finial.range_safety.limits import AirspaceRule, CodeLimits
from finial.report.document import ReportSection, Table
from finial.report.guess_words import guess_words
from finial.report.shown import NOT_KNOWN, Shown, bearing


def range_section(readiness: Readiness) -> ReportSection:
    """Distances and limits from the code the builder picked."""
    rules, shown = readiness.range_safety, Shown(us_units=readiness.us_units)
    ceiling = shown.length(rules.ceiling_agl_m) if rules.ceiling_agl_m is not None else "not entered"
    return ReportSection(
        key="range",
        title="Range",
        facts=(
            ("code", f"{rules.code}, {rules.edition}"),
            ("its source", rules.source),
            ("installed impulse", shown.plain(rules.impulse_n_s, Dimension.IMPULSE)),
            ("least distance to people", shown.length(rules.minimum_distance_m)),
            *_together(rules, shown),
            (
                "least distance to bystanders, 14 CFR 101.25 (g)",
                _or_not_asked(rules.bystander_minimum_m, shown),
            ),
            ("least field size", shown.length(rules.field_minimum_m)),
            ("this field's", shown.length(rules.field_side_m)),
            ("class of the airspace", rules.airspace or "not entered"),
            *_day_facts(rules.day, shown),
            ("class of flight", rules.faa_class),
            ("high power", "yes: its flyer is certified for it" if rules.is_high_power else "no"),
            ("wind at most", as_read(rules.limits, "wind", shown.wind(rules.limits.wind_m_s))),
            ("tilt at most", as_read(rules.limits, "tilt", shown.angle(rules.limits.tilt_rad))),
            ("ceiling above ground", ceiling),
            *_on_the_pad(rules.limits, shown),
        ),
        tables=_airspace(rules, shown),
        notes=("The range safety officer and the law of the place decide, not this table.",),
    )


def _together(rules: RangeResult, shown: Shown) -> tuple[tuple[str, str], ...]:
    """Say what each edition asks where several leave at once."""
    if rules.at_once == 1:
        return ()
    if not rules.together:
        return ((f"{rules.at_once} at once", "no rule of its own in the code's table"),)
    return tuple(
        (f"{rules.at_once} at once, {one.edition}", shown.length(one.distance_m)) for one in rules.together
    )


def _or_not_asked(metres: float | None, shown: Shown) -> str:
    return "not asked by this code's law" if metres is None else shown.length(metres)


def _worded(rule: AirspaceRule, shown: Shown) -> str:
    return rule.words.format(value=shown.length(rule.value))


def _airspace(rules: RangeResult, shown: Shown) -> tuple[Table, ...]:
    """Tell what the rules of the air ask besides distances: to be looked at on the day."""
    if not rules.airspace_rules:
        return ()
    rows = tuple((_worded(one, shown), one.source) for one in rules.airspace_rules)
    return (Table(title="Asked by the rules of the air", columns=("rule", "source"), rows=rows),)


def _on_the_pad(limits: CodeLimits, shown: Shown) -> tuple[tuple[str, str], ...]:
    """Say what the code asks of those at the pad; what its table does not hold is not known."""
    thrust, wait = limits.thrust_over_weight, shown.plain(limits.misfire_wait_s, Dimension.TIME)
    above = limits.sight_above_m
    return (
        ("thrust over weight at least", NOT_KNOWN if thrust is None else f"{thrust:g}"),
        ("flames and smoking away from motors by", shown.length(limits.no_flame_m)),
        ("countdown of at least", shown.plain(limits.countdown_s, Dimension.TIME)),
        ("wait after a misfire", as_read(limits, "misfire wait", wait)),
        *(() if above is None else (("visibility above the pad at least", shown.length(above)),)),
    )


def as_read(limits: CodeLimits, limit: str, words: str) -> str:
    """Add to a limit that it was not read in its code, where that is so."""
    return f"{words} (not read in {limits.code}: ask)" if limit in limits.not_read else words


def _day_facts(day: DayResult | None, shown: Shown) -> tuple[tuple[str, str], ...]:
    """Say what day and pad all of it was computed for; look again at the pad."""
    if day is None:
        return ()
    height = f"{shown.length(day.ground_asl_m)} above the sea"
    wind = f"{shown.between(day.wind, Dimension.WIND_SPEED)} from {bearing(day.wind_from_rad)}"
    leaning = f"tilted {shown.angle(day.rail_tilt_rad)} towards {bearing(day.rail_toward_rad)}"
    warmth, pressure = shown.between(day.temperature, Dimension.TEMPERATURE), day.pressure_pa
    air = f"{warmth}, {shown.plain(pressure, Dimension.PRESSURE)}"
    return (
        ("computed for the pad at", f"{day.site}, {height}"),
        (f"in a wind at {shown.height(REFERENCE_HEIGHT_M)} of", wind),
        ("off a rail of", f"{shown.length(day.rail_length_m)}, {leaning}"),
        ("in air of", f"{air}; as thin as at {shown.length(day.density_altitude_m)} on a standard day"),
    )


def guesses_section(readiness: Readiness) -> ReportSection:
    """Guesses ranked by how far they move the answer."""
    shown = Shown(us_units=readiness.us_units)
    ranked = [guess_words(guess, shown) for guess in sorted(readiness.guesses, key=lambda one: -one.weight)]
    table = Table(
        title="",
        columns=("what", "interval", "effect", "advice"),
        rows=tuple((guess.what, guess.interval, guess.effect, guess.advice) for guess in ranked),
    )
    return ReportSection(
        key="guesses",
        title="Guesses that matter most",
        tables=(table,) if ranked else (),
        notes=() if ranked else ("No guess moves the answer.",),
    )
