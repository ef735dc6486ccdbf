"""What a search of designs found, and the front of those it judged: as text, for JSON and as CSV."""

import csv
import io
from collections.abc import Sequence
from typing import Any

from finial.core.dimensions import Dimension
from finial.report.csv_text import harmless
from finial.report.document import ReportSection, Table
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.shown import Shown
from finial.sizing.found_front import FrontRow
from finial.sizing.judged import Aim, Judged
from finial.sizing.search import Found, Search
from finial.sizing.variables import DIMENSIONS, Variable

_CHECK = "Verdicts are those of the quick look: run `finial check` on the changed sheet before it is built."


def judged_words(judged: Judged, aim: Aim, shown: Shown) -> str:
    """Say of one design of a search what it comes to, or how far it is from a go."""
    if judged.is_go and aim is Aim.HIGHEST:
        return shown.height(judged.apogee_m)
    if judged.is_go:
        return shown.plain(judged.mass_kg, Dimension.MASS)
    return f"no go yet, {judged.missing:.2f} missing"


def search_lines(found: Found, asked: Search, shown: Shown, *, width: int = WIDTH) -> tuple[TextLine, ...]:
    """Tell what a search found, what each thing that it varied then is, and its front."""
    sections = search_sections(found, asked, shown)
    lines = (line for section in sections for line in section_lines(section, width=width))
    return (*lines, *caution_lines(width=width))


def search_sections(found: Found, asked: Search, shown: Shown) -> tuple[ReportSection, ...]:
    """Put the best design in facts and the front in a table."""
    best = ReportSection(
        key="search", title=headline(found, shown), facts=_facts(found, asked.variables, shown)
    )
    if not found.front:
        return (best,)
    odds = () if found.front[0].judged.odds is None else ("odds at least",)
    columns = ("", *(one.told for one in asked.variables), "lift-off mass", "apogee", *odds)
    table = Table(
        title="",
        columns=columns,
        rows=tuple(
            (str(number), *_row(row, asked.variables, shown)) for number, row in enumerate(found.front, 1)
        ),
        numbers=tuple(range(len(columns))),
    )
    title = f"{len(found.front)} of {found.judged_designs} designs that no other beats"
    return best, ReportSection(key="front", title=title, tables=(table,), notes=(_CHECK,))


def headline(found: Found, shown: Shown) -> str:
    """Say the best design's mass and height, and how many were judged for it."""
    mass, height = shown.plain(found.judged.mass_kg, Dimension.MASS), shown.height(found.judged.apogee_m)
    said = "Go" if found.judged.is_go else "No go found"
    counted = f"{found.judged_designs} designs judged, {found.left_out} surely no better"
    return f"{said} at {mass}, up to {height}; {counted}"


def _facts(found: Found, variables: Sequence[Variable], shown: Shown) -> tuple[tuple[str, str], ...]:
    pairs = zip(variables, found.point, strict=True)
    values = tuple((one.told, _value(one, value, shown)) for one, value in pairs)
    odds = found.judged.odds
    return values if odds is None else (*values, ("odds at least", _odds(odds)))


def _row(row: FrontRow, variables: Sequence[Variable], shown: Shown) -> tuple[str, ...]:
    return (
        *(_value(one, value, shown) for one, value in zip(variables, row.point, strict=True)),
        shown.plain(row.judged.mass_kg, Dimension.MASS),
        shown.height(row.judged.apogee_m),
        *(() if row.judged.odds is None else (_odds(row.judged.odds),)),
    )


def _value(variable: Variable, value: float, shown: Shown) -> str:
    told, dimension = variable.at(value), DIMENSIONS.get(variable.kind)
    if isinstance(told, str):
        return told
    ratio = dimension in (None, Dimension.RATIO)
    return f"{told:g}" if ratio else shown.plain(told, dimension)


def _odds(share: float) -> str:
    return f"{100.0 * share:.1f} %"


def search_plain(found: Found, variables: Sequence[Variable]) -> dict[str, Any]:
    """Return it for JSON, SI units."""
    return {
        "is_go": found.judged.is_go,
        "mass_kg": found.judged.mass_kg,
        "apogee_m": found.judged.apogee_m,
        "odds": found.judged.odds,
        "missing": found.judged.missing,
        "judged_designs": found.judged_designs,
        "left_out": found.left_out,
        "values": _plain(found.point, variables),
        "front": [
            {
                "mass_kg": row.judged.mass_kg,
                "apogee_m": row.judged.apogee_m,
                "odds": row.judged.odds,
                "is_go": row.judged.is_go,
                "values": _plain(row.point, variables),
            }
            for row in found.front
        ],
    }


def _plain(point: Sequence[float], variables: Sequence[Variable]) -> dict[str, float | str]:
    return {one.told: one.at(value) for one, value in zip(variables, point, strict=True)}


def front_csv(front: Sequence[FrontRow], variables: Sequence[Variable]) -> str:
    """One design a row, as numbered in the picture; SI units, and nothing where no odds were asked."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    names = [harmless(one.told) for one in variables]
    rows.writerow(["number", *names, "mass_kg", "apogee_m", "odds", "is_go"])
    for number, row in enumerate(front, 1):
        told = [one.at(value) for one, value in zip(variables, row.point, strict=True)]
        values = [harmless(one) if isinstance(one, str) else one for one in told]
        judged = row.judged
        odds = "" if judged.odds is None else judged.odds
        go = "yes" if judged.is_go else "no"
        rows.writerow([number, *values, judged.mass_kg, judged.apogee_m, odds, go])
    return text.getvalue()
