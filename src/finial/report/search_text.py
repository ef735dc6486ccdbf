"""What a search of designs found, and the front of those it judged: as text, for JSON and as CSV."""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from finial.core.dimensions import Dimension
from finial.findings.design_whole import Confirmed
from finial.report.csv_text import harmless
from finial.report.document import ReportSection, Table
from finial.report.lines import WIDTH, TextLine, caution_lines, section_lines
from finial.report.shown import Shown
from finial.report.words import counted
from finial.sizing.found_front import FrontRow
from finial.sizing.judged import Aim, Judged
from finial.sizing.misses import NEAR, Missed, missed, nearby
from finial.sizing.notebook import Point
from finial.sizing.search import Found, Search
from finial.sizing.variables import DIMENSIONS, Variable

_CHECK = "Run `finial check` on the changed sheet before it is built."
_NOT_LOOKED = "not looked at whole"
_MOST_TOLD = 3
"""Designs turned down that are told one by one."""


def judged_words(judged: Judged, aim: Aim, shown: Shown) -> str:
    """Say of one design of a search what it comes to, or how far it is from a go."""
    if judged.is_go and aim is Aim.HIGHEST:
        return shown.height(judged.apogee_m)
    if judged.is_go:
        return shown.plain(judged.mass_kg, Dimension.MASS)
    return f"no go yet, {judged.missing:.2f} missing"


def search_lines(
    found: Found, whole: Confirmed, asked: Search, shown: Shown, *, width: int = WIDTH
) -> tuple[TextLine, ...]:
    """Tell what a search found, what each thing that it varied then is, and its front."""
    sections = search_sections(found, whole, asked, shown)
    lines = (line for section in sections for line in section_lines(section, width=width))
    return (*lines, *caution_lines(width=width))


def search_sections(found: Found, whole: Confirmed, asked: Search, shown: Shown) -> tuple[ReportSection, ...]:
    """Put the best design in facts, how far it was foretold amiss beside it, and the front in a table."""
    best = ReportSection(
        key="search",
        title=headline(found, whole, shown),
        facts=_facts(whole, asked.variables, shown),
        notes=(*_turned_down(whole, asked.aim, shown), _CHECK),
    )
    sections = best, _amiss(found, whole, asked, shown)
    if not found.front:
        return sections
    odds = () if found.front[0].judged.odds is None else ("odds at least",)
    told = ("lift-off mass", "apogee", *odds)
    columns = ("", *(one.told for one in asked.variables), *told, "whole look")
    table = Table(
        title="",
        columns=columns,
        rows=tuple(
            (str(number), *_row(row, asked.variables, shown), _verdict(whole, row))
            for number, row in enumerate(found.front, 1)
        ),
        numbers=tuple(range(len(columns) - 1)),
    )
    title = f"{len(found.front)} of {found.judged_designs} designs that no other beats"
    return *sections, ReportSection(key="front", title=title, tables=(table,))


def headline(found: Found, whole: Confirmed, shown: Shown) -> str:
    """Say the best design's mass and height by the whole look, and how many were judged for it."""
    judged = whole.best.judged
    mass, height = shown.plain(judged.mass_kg, Dimension.MASS), shown.height(judged.apogee_m)
    judged_designs = f"{counted(found.judged_designs, 'design')} judged, {found.left_out} surely no better"
    return f"{_said(whole)} at {mass}, up to {height}; {judged_designs}"


def _said(whole: Confirmed) -> str:
    if whole.is_go:
        return "Go by the whole look"
    if not whole.best.judged.is_go:
        return "No go found"
    if not whole.verdicts:
        return "Not known: nobody looked whole at what the quick look passes, best"
    return f"No go found: {whole.verdict.words} by the whole look of the best that the quick one passes,"


def _verdict(whole: Confirmed, row: FrontRow) -> str:
    if not row.judged.is_go and row.judged.odds is not None:
        return "short of the odds"
    found = whole.verdicts.get(row.point)
    return _NOT_LOOKED if found is None else found.words


def _turned_down(whole: Confirmed, aim: Aim, shown: Shown) -> Iterator[str]:
    """Say what the quick look passes, and the whole one does not."""
    looked = whole.turned_down
    if not looked:
        return
    told = ", ".join(
        f"{judged_words(row.judged, aim, shown)} {whole.verdicts[row.point].words}"
        for row in looked[:_MOST_TOLD]
    )
    more = "" if len(looked) <= _MOST_TOLD else f" and {len(looked) - _MOST_TOLD} more"
    unseen = len(whole.better) - len(looked)
    beside = f"; {unseen} more between them were not looked at" if unseen else ""
    yield (
        f"Designs before it that the quick look passes: {len(whole.better)}; "
        f"the whole look says of those looked at: {told}{more}{beside}."
    )


def _amiss(found: Found, whole: Confirmed, asked: Search, shown: Shown) -> ReportSection:
    """Say how far designs came to from what was foretold of them, everywhere and near the best."""
    everywhere, near = missed(found.misses), _missed_near(found, whole.best.point, asked)
    judged = sum(1 for _ in nearby(whole.best.point, found.known, asked.variables))
    beside = ("designs judged near the best", f"{judged}, within {100 * NEAR:.0f} % of every range")
    if everywhere is None:
        return ReportSection(
            key="foretold", title="No design was foretold before it was judged", facts=(beside,)
        )
    return ReportSection(
        key="foretold",
        title=f"{everywhere.designs} of them foretold before they were judged",
        facts=(
            *_off("off by", everywhere, asked.aim, shown),
            ("better than was said to be sure", f"{everywhere.better} of {everywhere.designs}"),
            beside,
            *(() if near is None else _off(f"off by, {near.designs} near the best", near, asked.aim, shown)),
        ),
    )


def _off(where: str, off: Missed, aim: Aim, shown: Shown) -> tuple[tuple[str, str], ...]:
    what, dimension = (
        ("lift-off mass", Dimension.MASS) if aim is Aim.LIGHTEST else ("apogee", Dimension.LENGTH)
    )
    typical, largest = (shown.plain(one, dimension) for one in (off.typical, off.largest))
    short = (
        f"typically {100 * off.typical_missing:.2g} %, at most {100 * off.largest_missing:.2g} % of a limit"
    )
    return (
        (f"{what} {where}", f"typically {typical}, at most {largest}"),
        (f"missing to limits {where}", short),
    )


def _missed_near(found: Found, point: Point, asked: Search) -> Missed | None:
    there = set(nearby(point, (one.point for one in found.misses), asked.variables))
    return missed([one for one in found.misses if one.point in there])


def _facts(whole: Confirmed, variables: Sequence[Variable], shown: Shown) -> tuple[tuple[str, str], ...]:
    pairs = zip(variables, whole.best.point, strict=True)
    values = tuple((one.told, _value(one, value, shown)) for one, value in pairs)
    odds = whole.best.judged.odds
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


def search_plain(found: Found, whole: Confirmed, asked: Search) -> dict[str, Any]:
    """Return it for JSON, SI units."""
    best = whole.best
    return {
        "is_go": whole.is_go,
        "verdict": whole.verdict.words,
        "mass_kg": best.judged.mass_kg,
        "apogee_m": best.judged.apogee_m,
        "odds": best.judged.odds,
        "missing": best.judged.missing,
        "judged_designs": found.judged_designs,
        "left_out": found.left_out,
        "values": _plain(best.point, asked.variables),
        "foretold": _off_plain(missed(found.misses)),
        "near": _near_plain(found, best.point, asked),
        "turned_down": [_row_plain(row, whole, asked.variables) for row in whole.turned_down],
        "front": [
            {**_row_plain(row, whole, asked.variables), "near": _near_plain(found, row.point, asked)}
            for row in found.front
        ],
    }


def _row_plain(row: FrontRow, whole: Confirmed, variables: Sequence[Variable]) -> dict[str, Any]:
    looked = whole.verdicts.get(row.point)
    return {
        "mass_kg": row.judged.mass_kg,
        "apogee_m": row.judged.apogee_m,
        "odds": row.judged.odds,
        "is_go": whole.goes(row),
        "whole_look": None if looked is None else looked.words,
        "values": _plain(row.point, variables),
    }


def _near_plain(found: Found, point: Point, asked: Search) -> dict[str, Any]:
    judged = sum(1 for _ in nearby(point, found.known, asked.variables))
    return {"judged": judged, "foretold": _off_plain(_missed_near(found, point, asked))}


def _off_plain(off: Missed | None) -> dict[str, float] | None:
    return None if off is None else asdict(off)


def _plain(point: Sequence[float], variables: Sequence[Variable]) -> dict[str, float | str]:
    return {one.told: one.at(value) for one, value in zip(variables, point, strict=True)}


def front_csv(found: Found, whole: Confirmed, asked: Search) -> str:
    """One design a row, as numbered in the picture; SI units, and nothing where no odds were asked.

    Beside each stands how many designs were judged near it, and how far off they were that were foretold.
    """
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    names = [harmless(one.told) for one in asked.variables]
    off = ["judged_near", "foretold_near", "off_typical", "off_largest", "missing_off_largest"]
    rows.writerow(["number", *names, "mass_kg", "apogee_m", "odds", "is_go", "whole_look", *off])
    for number, row in enumerate(found.front, 1):
        told = [one.at(value) for one, value in zip(asked.variables, row.point, strict=True)]
        values = [harmless(one) if isinstance(one, str) else one for one in told]
        rows.writerow([number, *values, *_judged_cells(row, whole), *_near_cells(found, row.point, asked)])
    return text.getvalue()


def _judged_cells(row: FrontRow, whole: Confirmed) -> tuple[float | str, ...]:
    judged, looked = row.judged, whole.verdicts.get(row.point)
    odds = "" if judged.odds is None else judged.odds
    go = "yes" if whole.goes(row) else "no"
    return judged.mass_kg, judged.apogee_m, odds, go, "" if looked is None else looked.words


def _near_cells(found: Found, point: Point, asked: Search) -> tuple[float | str, ...]:
    judged = sum(1 for _ in nearby(point, found.known, asked.variables))
    off = _missed_near(found, point, asked)
    if off is None:
        return judged, 0, "", "", ""
    return judged, off.designs, off.typical, off.largest, off.largest_missing
