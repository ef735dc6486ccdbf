"""Range safety, and the guesses that decide the answer."""

from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import Section, Table
from finial.report.shown import Shown


def range_section(readiness: Readiness) -> Section:
    """Distances and limits from the code the builder picked."""
    rules, shown = readiness.range_safety, Shown(us_units=readiness.us_units)
    ceiling = shown.length(rules.ceiling_agl_m) if rules.ceiling_agl_m is not None else "not entered"
    field = (
        () if rules.field_minimum_m is None else (("least field size", shown.length(rules.field_minimum_m)),)
    )
    return Section(
        key="range",
        title="Range",
        facts=(
            ("code", f"{rules.code}, {rules.edition}"),
            ("its source", rules.source),
            ("installed impulse", shown.plain(rules.impulse_n_s, Dimension.IMPULSE)),
            ("least distance to people", shown.length(rules.minimum_distance_m)),
            *field,
            ("class of flight", rules.faa_class),
            ("wind at most", shown.speed(rules.wind_limit_m_s)),
            ("tilt at most", shown.angle(rules.tilt_limit_rad)),
            ("ceiling above ground", ceiling),
        ),
        notes=("The range safety officer and the law of the place decide, not this table.",),
    )


def guesses_section(readiness: Readiness) -> Section:
    """Guesses ranked by how far they move the answer."""
    ranked = sorted(readiness.guesses, key=lambda guess: -guess.weight)
    table = Table(
        title="",
        columns=("what", "interval", "effect", "advice"),
        rows=tuple((guess.what, guess.interval, guess.effect, guess.advice) for guess in ranked),
    )
    return Section(
        key="guesses",
        title="Guesses that matter most",
        tables=(table,) if ranked else (),
        notes=() if ranked else ("No guess moves the answer.",),
    )
