"""What sizing found, as text."""

from typing import Any

from finial.core.dimensions import Dimension
from finial.findings.cheapest import Mend
from finial.report.document import ReportSection, Table
from finial.report.finding_words import title
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.shown import Shown
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
    shown = Shown(us_units=us_units)
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
    section = ReportSection(key="front", title=title, tables=(table,), notes=(_CHECK,))
    return (*section_lines(section, width=width), *caution_lines(width=width))


def changes_lines(
    found: tuple[Mend, ...], *, goes: bool, us_units: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """List single changes, those that make it go first; ``goes``: it does as it is."""
    shown = Shown(us_units=us_units)
    table = Table(
        title="",
        columns=("", "change", "mends", "adds", "verdict then", "still failing"),
        rows=tuple(
            (
                str(index),
                mend_words(one, shown),
                title(one.mends, shown),
                shown.plain(one.added_kg, Dimension.MASS),
                one.verdict.words,
                "; ".join(title(finding, shown) for finding in one.left) or "nothing",
            )
            for index, one in enumerate(found, start=1)
        ),
        numbers=(0, 3),
    )
    unmended = "Nothing that one change of ballast, fins, rail or canopy can mend."
    nothing = "It goes as it is: there is nothing to mend." if goes else unmended
    notes = () if found else (nothing,)
    section = ReportSection(key="mend", title="One change at a time", tables=(table,), notes=notes)
    return (*section_lines(section, width=width), *caution_lines(width=width))


_SAID = {"ballast": "{} of {}", "span": "{} reaching {}", "rail": "rail{} of {}", "canopy": "{} of {}"}


def mend_words(mend: Mend, shown: Shown) -> str:
    """Say one change with its size."""
    dimension = Dimension.MASS if mend.lever == "ballast" else Dimension.LENGTH
    return _SAID[mend.lever].format(mend.name, shown.plain(mend.size, dimension))


def changes_plain(found: tuple[Mend, ...]) -> list[dict[str, Any]]:
    """Return changes for JSON, SI units."""
    return [
        {
            "lever": one.lever,
            "name": one.name,
            "size": one.size,
            "mends": one.mends.key,
            "added_kg": one.added_kg,
            "verdict": one.verdict.words,
            "left": [finding.key for finding in one.left],
        }
        for one in found
    ]
