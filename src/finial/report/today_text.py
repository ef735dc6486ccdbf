"""The day on the field as text: today's verdict, today's numbers beside the sheet's, what changed since."""

import math
from collections.abc import Iterator, Mapping
from typing import Any

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.trees import is_list, is_table
from finial.files.source import dotted
from finial.files.toml_places import KeyPath
from finial.findings.finding import Moved
from finial.findings.readiness import Readiness
from finial.findings.today import Today
from finial.report.document import ReportSection, Table
from finial.report.finding_words import title_of
from finial.report.lines import WIDTH, TextLine, section_lines
from finial.report.shown import Shown, bearing
from finial.report.terminal import terminal_width, write
from finial.report.text import caution_lines, findings_lines, verdict_lines

_READ: Mapping[KeyPath, str] = {
    ("launch", "wind"): "wind at 10 m",
    ("launch", "wind_from"): "wind blows from",
    ("launch", "temperature"): "temperature of the air",
    ("launch", "pressure"): "pressure at the pad",
    ("launch", "tilt"): "rail leans by",
    ("launch", "toward"): "rail leans towards",
    ("weighing", "motor"): "motor when weighed",
    ("weighing", "mass"): "whole mass",
    ("weighing", "balance"): "hangs level at",
    ("weighing", "scales"): "two scales",
    ("weighing", "across"): "balances beside the axis",
}
_MEASURED_NOTE = (
    "Where both agree the measured goes before the computed. Where they contradict each other one of the two "
    "is wrong: weigh again, look for what is in or out, and do not fly on either."
)


def print_today(found: Today) -> None:
    """Write it to standard output."""
    write(today_lines(found, width=terminal_width()))


def today_lines(found: Today, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Write today's verdict, the numbers of both, what changed, today's findings and the caution."""
    shown = Shown(us_units=found.today.us_units)
    return (
        *verdict_lines(found.today, width=width),
        *section_lines(today_section(found, shown), width=width),
        *(line for one in read_sections(found, shown) for line in section_lines(one, width=width)),
        TextLine(""),
        TextLine("Findings of today", "heading"),
        *findings_lines(found.today.findings, shown, width=width),
        *caution_lines(width=width),
    )


def today_section(found: Today, shown: Shown) -> ReportSection:
    """Numbers by the sheet and by what was read today, and what they turned."""
    before, after = dict(numbers_of_day(found.sheet, shown)), dict(numbers_of_day(found.today, shown))
    turned = tuple(_turned(one, shown) for one in found.moved)
    return ReportSection(
        key="today",
        title="Today beside the sheet",
        tables=(
            Table(
                title="",
                columns=("what", "by the sheet", "today"),
                rows=tuple((what, before.get(what, "not told"), value) for what, value in after.items()),
                numbers=(1, 2),
            ),
        ),
        notes=turned or ("Nothing that was read today changes a verdict or takes margin.",),
    )


def read_sections(found: Today, shown: Shown) -> Iterator[ReportSection]:
    """Show what was read beside what the sheet has, and what was measured beside what was computed."""
    yield ReportSection(
        key="read",
        title="What was read",
        tables=(
            Table(
                title="",
                columns=("what", "in the sheet", "today"),
                rows=tuple(
                    (_READ.get(one.place, dotted(one.place)), _written(one.by_sheet), _written(one.today))
                    for one in found.read
                ),
                numbers=(),
            ),
        ),
    )
    rows = tuple(_measured(found.today, shown))
    if rows:
        yield ReportSection(
            key="measured",
            title="Measured beside computed",
            tables=(
                Table(
                    title="", columns=("what", "measured", "computed", "apart"), rows=rows, numbers=(1, 2, 3)
                ),
            ),
            notes=(_MEASURED_NOTE,),
        )


def _written(value: Any) -> str:
    """Show a value as somebody wrote it, lists and tables in one line."""
    if value is None:
        return "not told"
    if is_table(value):
        return " ".join(f"{key} {_written(one)}" for key, one in value.items())
    return ", ".join(_written(one) for one in value) if is_list(value) else str(value)


def _measured(answer: Readiness, shown: Shown) -> Iterator[tuple[str, str, str, str]]:
    """Mass and balance without the motors, as measured and by the mass table."""
    whole = answer.mass.weighed
    if whole is None:
        return
    yield _beside("mass without motors", whole.mass, whole.table_mass, Dimension.MASS, shown)
    if whole.balance is not None:
        name = "balance point without motors"
        yield _beside(name, whole.balance, whole.table_balance, Dimension.LENGTH, shown)


def _beside(
    name: str, measured: Estimate, computed: Estimate, dimension: Dimension, shown: Shown
) -> tuple[str, str, str, str]:
    apart = shown.plain(abs(measured.value - computed.value), dimension)
    agree = "within both" if measured.meets(computed) else "they contradict each other"
    return (name, shown.between(measured, dimension), shown.between(computed, dimension), f"{apart}, {agree}")


def numbers_of_day(answer: Readiness, shown: Shown) -> Iterator[tuple[str, str]]:
    """Tell the numbers that a day on the field or a log moves, the worst moment of the margin."""
    mass, flight, recovery = answer.mass, answer.flight, answer.recovery
    yield "verdict", answer.verdict.words
    yield "mass at lift-off", shown.between(mass.lift_off_mass, Dimension.MASS)
    yield "balance point at lift-off", shown.between(mass.lift_off_balance, Dimension.LENGTH)
    if answer.stability:
        worst = min(answer.stability, key=lambda point: point.margin.low)
        yield "least margin", shown.between(worst.margin, Dimension.LENGTH, worst.length_m)
    yield "speed off the rail", shown.between(flight.rail_exit_speed, Dimension.SPEED)
    yield "apogee above ground", shown.between(flight.apogee_agl, Dimension.LENGTH)
    if recovery.landing_speed is not None:
        yield "comes down at", shown.between(recovery.landing_speed, Dimension.SPEED)
    yield from _landing(answer, shown)


def _landing(answer: Readiness, shown: Shown) -> Iterator[tuple[str, str]]:
    """Say how far it comes down, and which way to walk."""
    flight = answer.flight
    if flight.usable:
        yield "comes down from the pad", shown.between(flight.drift, Dimension.LENGTH)
        yield "walk from the pad towards", bearing(math.atan2(flight.landing_east_m, flight.landing_north_m))


def _turned(moved: Moved, shown: Shown) -> str:
    """Say what a check was by the sheet and is today, or what it lost."""
    name = title_of(moved.key, moved.subject, moved.facts, shown)
    if moved.was is not moved.now:
        return f"{name}: {moved.was.words} by the sheet, {moved.now.words} today."
    lost = shown.plain(moved.less, moved.dimension) if moved.dimension and moved.less else "some"
    return f"{name}: {lost} less room to its limit."
