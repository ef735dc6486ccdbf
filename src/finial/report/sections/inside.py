"""Inside: what stands where, what comes near what, rooms of the bays, and the rail beside it."""

import math
from collections.abc import Sequence

from finial.assemble.inside.results import BayRoom, InsideResult, Meeting
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.inside.things import Kind, Thing
from finial.report.document import ReportSection, Table
from finial.report.pictures.inside_section import across_words, called
from finial.report.shown import Shown

NEAREST = 8
"""How many of the nearest neighbours are told."""
_ON_AXIS_M = 1e-4


def inside_section(readiness: Readiness) -> ReportSection:
    """Show everything inside in its place, the nearest neighbours, the bays and the rail."""
    inside, shown = readiness.inside, Shown(us_units=readiness.us_units)
    tables = (_things(inside.things, shown), _nearest(inside.meetings, shown), _bays(inside.bays, shown))
    return ReportSection(
        key="inside",
        title="Inside",
        facts=tuple(_facts(inside, shown)),
        tables=tuple(table for table in tables if table.rows),
        notes=_notes(inside),
        pictures=("inside_section",),
    )


def _facts(inside: InsideResult, shown: Shown) -> list[tuple[str, str]]:
    facts = [("things inside", str(len(inside.things)))]
    if inside.guide is not None:
        facts.append(("rail clear of the body by", shown.between(inside.guide.body, Dimension.LENGTH)))
        facts.append(("rail buttons apart", shown.length(inside.guide.spacing_m)))
    return facts


def _notes(inside: InsideResult) -> tuple[str, ...]:
    guessed = sorted({taken.thing for taken in inside.taken})
    return (f"Sizes not in the sheet were taken for: {', '.join(guessed)}.",) if guessed else ()


def _things(things: Sequence[Thing], shown: Shown) -> Table:
    """List what stands inside from the tip aft, sets of equal things once."""
    rows: dict[tuple[str, ...], int] = {}
    for thing in sorted(things, key=lambda one: one.span_m):
        row = (
            called(thing),
            str(thing.kind),
            shown.length(thing.span_m[0]),
            shown.length(thing.span_m[1]),
            across_words(thing, shown),
            _aside(thing, shown),
            thing.known_by.word,
        )
        rows[row] = rows.get(row, 0) + 1
    return Table(
        title="What stands inside",
        columns=("thing", "kind", "count", "from", "to", "size across", "off the axis", "size known by"),
        rows=tuple((*row[:2], str(count), *row[2:]) for row, count in rows.items()),
        numbers=(2, 3, 4),
        pages_only=(1,),
    )


def _aside(thing: Thing, shown: Shown) -> str:
    """Say how far off the axis a thing stands, and how far it leans."""
    off = math.hypot(*thing.offset_m)
    told = shown.length(off) if off > _ON_AXIS_M else ""
    stands_across = thing.kind is Kind.EYE  # as every eye does
    leans = shown.angle(thing.tilt_rad) if thing.tilt_rad and not stands_across else ""
    return ", leans ".join(part for part in (told or ("0" if leans else ""), leans) if part)


def _nearest(meetings: Sequence[Meeting], shown: Shown) -> Table:
    return Table(
        title="Nearest to one another",
        columns=("thing", "beside", "room between", "at"),
        rows=tuple(
            (met.first, met.second, shown.between(met.gap, Dimension.LENGTH), shown.length(met.station_m))
            for met in meetings[:NEAREST]
        ),
        numbers=(2, 3),
    )


def _bays(bays: Sequence[BayRoom], shown: Shown) -> Table:
    return Table(
        title="Bays",
        columns=("bay", "empty", "free of its contents", "the sheet says"),
        rows=tuple(
            (
                bay.bay,
                shown.between(bay.empty, Dimension.VOLUME),
                "does not hold them" if bay.free is None else shown.between(bay.free, Dimension.VOLUME),
                "nothing" if bay.said is None else shown.between(bay.said, Dimension.VOLUME),
            )
            for bay in bays
        ),
        numbers=(1, 2, 3),
    )
