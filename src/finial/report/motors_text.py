"""The motors of a folder as a table: those that meet everything, and why each other one fails."""

from typing import Any

from finial.core.dimensions import Dimension
from finial.findings.finding import Finding, Sense
from finial.findings.motor_choice import MotorRow
from finial.report.document import ReportSection, Table
from finial.report.finding_words import limit, title
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.shown import Shown

_ROOM = "Length is checked only where the sheet gives [motor] room."


def motors_lines(
    name: str, rows: tuple[MotorRow, ...], *, has_room: bool, us_units: bool, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Motors line by line, and the caution."""
    shown = Shown(us_units=us_units)
    good = tuple(row for row in rows if row.meets)
    bad = tuple(row for row in rows if not row.meets)
    sections = [
        ReportSection(
            key="meets",
            title=f"{len(good)} of {len(rows)} meet everything asked",
            tables=(_numbers(good, shown),),
            notes=() if has_room else (_ROOM,),
        ),
        ReportSection(
            key="fails", title="The others, and why not", tables=(_numbers(bad, shown), _reasons(bad, shown))
        ),
        ReportSection(key="claims", title="Claims against the curves", tables=(_claims(rows),)),
    ]
    lines = [TextLine(f"Motors for {name}", "heading")]
    for section in sections:
        if any(table.rows for table in section.tables) or section.key == "meets":
            lines += section_lines(section, width=width)
    return (*lines, *caution_lines(width=width))


def motors_plain(rows: tuple[MotorRow, ...], *, us_units: bool) -> list[dict[str, Any]]:
    """Rows for JSON, SI units; each reason with its words in the sheet's units."""
    from finial.report.json_records import finding_plain, plain

    shown = Shown(us_units=us_units)
    return [
        {**plain(row), "reasons": [finding_plain(one, shown) for one in row.reasons], "meets": row.meets}
        for row in rows
    ]


def _numbers(rows: tuple[MotorRow, ...], shown: Shown) -> Table:
    return Table(
        title="",
        columns=("motor", "class", "thrust to weight", "off the rail", "apogee", "top g", "worst margin"),
        rows=tuple(_row(row, shown) for row in rows if row.apogee_m is not None),
        numbers=(2, 3, 4, 5, 6),
    )


def _row(row: MotorRow, shown: Shown) -> tuple[str, ...]:
    return (
        row.name,
        row.designation,
        f"{row.thrust_to_weight:.1f}",
        shown.speed(row.rail_exit_m_s),
        shown.height(row.apogee_m or 0.0),
        f"{row.top_g:.1f}",
        shown.plain(row.margin_m, Dimension.LENGTH),
    )


def _reasons(rows: tuple[MotorRow, ...], shown: Shown) -> Table:
    told = tuple(
        (row.name if index == 0 else "", _reason(finding, shown))
        for row in rows
        for index, finding in enumerate(row.reasons)
    )
    return Table(title="", columns=("motor", "why not"), rows=told)


def _reason(finding: Finding, shown: Shown) -> str:
    """Say a finding by the end that hurts."""
    called, asked = title(finding, shown), limit(finding, shown)
    value = finding.value
    if value is None:
        return f"{called}: {finding.verdict.words}; {asked}"
    bad = value.low if finding.bound.sense is Sense.AT_LEAST else value.high
    number = f"{bad:.3g}" if finding.dimension is None else shown.plain(bad, finding.dimension)
    return f"{called}: {number} at its bad end; {asked}"


def _claims(rows: tuple[MotorRow, ...]) -> Table:
    told = tuple(
        (
            row.name,
            check.what,
            _value(check.claimed),
            _value(check.found),
            "agrees" if check.agrees else "differs",
        )
        for row in rows
        for check in row.claims
    )
    return Table(
        title="", columns=("motor", "what", "claimed", "by the curve", ""), rows=told, numbers=(2, 3)
    )


def _value(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.4g}"
