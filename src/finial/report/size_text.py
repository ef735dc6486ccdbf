"""What sizing found, as text."""

from typing import Any

from finial.core.dimensions import Dimension
from finial.findings.finding import Finding, Verdict
from finial.findings.mending import Mend
from finial.report.document import ReportSection, Table
from finial.report.finding_words import title
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.shown import Shown
from finial.report.trial_words import change_words
from finial.sizing.solve import Sized
from finial.sizing.trade import Tried


def sized_lines(
    title: str, value: str, sized: Sized, *, us_units: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """One thing sized: its value, and what comes of it."""
    shown, look = Shown(us_units=us_units), sized.look
    landing = look.landing_speed
    facts = (
        (title, value),
        ("lift-off mass", shown.plain(look.mass_kg, Dimension.MASS)),
        ("worst margin, bad end", _margin(sized, shown)),
        ("apogee", shown.height(look.apogee_m)),
        ("off the rail, slowest", shown.speed(look.rail_exit_low_m_s)),
        ("landing speed", "no canopy" if landing is None else shown.between(landing, Dimension.SPEED)),
    )
    section = ReportSection(key="sized", title="Sized", facts=facts, notes=(_CHECK,))
    return (*section_lines(section, width=width), *caution_lines(width=width))


_CHECK = "Strength, recovery and range are not part of this: run `finial check` on the changed sheet."


def _margin(sized: Sized, shown: Shown) -> str:
    look = sized.look
    return f"{shown.length(look.margin_m)}, {look.margin_m / look.width_m:.2f} widths"


def trade_lines(tried: tuple[Tried, ...], *, us_units: bool, width: int = WIDTH) -> tuple[TextLine, ...]:
    """List the front, numbered as in the picture."""
    section = trade_section(tried, Shown(us_units=us_units))
    return (*section_lines(section, width=width), *caution_lines(width=width))


def trade_section(tried: tuple[Tried, ...], shown: Shown) -> ReportSection:
    """Put the front in a table."""
    best = [one for one in tried if one.is_best]
    table = Table(
        title="",
        columns=("", "fins", "span", "root begins", "ballast", "lift-off mass", "apogee", "off the rail"),
        rows=tuple(
            (
                str(index),
                str(one.count),
                f"{shown.length(one.look.span_m)} ({100 * one.span:.0f} %)",
                shown.length(one.station_m),
                shown.plain(one.ballast_kg, Dimension.MASS),
                shown.plain(one.look.mass_kg, Dimension.MASS),
                shown.height(one.look.apogee_m),
                shown.speed(one.look.rail_exit_low_m_s),
            )
            for index, one in enumerate(best, start=1)
        ),
        numbers=(0, 1, 2, 3, 4, 5, 6, 7),
    )
    title = f"{len(best)} of {len(tried)} designs that no other beats"
    return ReportSection(key="front", title=title, tables=(table,), notes=(_CHECK,))


def tried_words(number: int, one: Tried, shown: Shown) -> str:
    """Name one of the designs on the front: its number in the picture, its fins and its ballast.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> one = SimpleNamespace(count=4, look=SimpleNamespace(span_m=0.12), ballast_kg=1.15)
    >>> tried_words(2, one, Shown(us_units=False))
    '2: 4 fins of 120 mm, 1.15 kg of ballast'
    """
    ballast = shown.plain(one.ballast_kg, Dimension.MASS)
    return f"{number}: {one.count} fins of {shown.length(one.look.span_m)}, {ballast} of ballast"


def mend_lines(found: Mend | None, *, us_units: bool, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Say the set of changes, what it mends, what stops it, and what must be entered all the same."""
    section = mend_section(found, Shown(us_units=us_units))
    return (*section_lines(section, width=width), *caution_lines(width=width))


def mend_section(found: Mend | None, shown: Shown) -> ReportSection:
    """Put the changes in a table, and what they mend in notes."""
    changes = tuple((change_words(one, shown),) for one in found.told) if found else ()
    table = Table(title="Together:", columns=("change",), rows=changes)
    failing = found is not None and found.verdict > Verdict.CAUTION
    title_said = "The best so far, which does not mend it" if failing else "What mends it"
    return ReportSection(key="mend", title=title_said, tables=(table,), notes=_mend_notes(found, shown))


_TRIED = "ballast, fins, walls, rods, pins, charges, canopies, cords, rail, buttons, stays"


def _mend_notes(found: Mend | None, shown: Shown) -> tuple[str, ...]:
    if found is None:
        return ("Nothing fails: there is nothing to mend.",)
    if not found.told:
        first = f"None of the changes that can be tried makes it better: {_TRIED}."
    else:
        added = shown.plain(abs(found.added_kg), Dimension.MASS)
        heavier = "heavier" if found.added_kg >= 0.0 else "lighter"
        first = f"The whole check then says {found.verdict.words}; it is {added} {heavier}."
    return (
        first,
        *_listed("Then met", found.mended, shown),
        *_listed("Stopped by, at the best so far", found.stops, shown),
        *_listed("Brought about by these changes themselves", found.brought, shown),
        *_listed("Still to be entered, tested or wired, which no size mends", found.to_enter, shown),
    )


def _listed(said: str, findings: tuple[Finding, ...], shown: Shown) -> tuple[str, ...]:
    titles = dict.fromkeys(title(one, shown) for one in findings)
    return (f"{said}: {'; '.join(titles)}.",) if titles else ()


def mend_plain(found: Mend | None, verdict: Verdict) -> dict[str, Any]:
    """Return it for JSON, SI units."""
    if found is None:
        return {
            "verdict": verdict.words,
            "changes": [],
            "added_kg": 0.0,
            "mended": [],
            "stops": [],
            "to_enter": [],
            "brought": [],
        }
    return {
        "verdict": verdict.words,
        "changes": [
            {"lever": one.lever, "name": one.name, "was": one.was, "size": one.size, "to": one.to}
            for one in found.told
        ],
        "added_kg": found.added_kg,
        "mended": [one.key for one in found.mended],
        "stops": [{"key": one.key, "name": one.subject.name, "margin": one.margin} for one in found.stops],
        "to_enter": [{"key": one.key, "name": one.subject.name} for one in found.to_enter],
        "brought": [{"key": one.key, "name": one.subject.name} for one in found.brought],
    }
