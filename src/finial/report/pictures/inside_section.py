"""Section through the whole vehicle, true to scale: print, room, and everything that stands inside."""

import math
import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from finial.assemble.inside.results import InsideResult
from finial.core.dimensions import Dimension
from finial.inside.profile import thing_cut, thing_shadow
from finial.inside.things import Kind, Thing
from finial.report.pictures.axes import PAGE_MM, plain, round_bar
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.balloons import Balloon, balloons, placed_balloons
from finial.report.pictures.ruler import station_ruler
from finial.report.pictures.section_cut import (
    Paper,
    extent,
    hatchings,
    laid_on_paper,
    roll_drawn,
    section_drawn,
    side_of_rail,
    without_nuts,
)
from finial.report.pictures.svg import clipped, element, line, number, picture, words
from finial.report.shown import Shown
from finial.shape.fin_set import FinSet

_NAME = "inside-section"
_EDGE_MM = 5.0
_MOST_ACROSS_MM = 96.0
_LETTERS = 54
"""Most letters of one line of the key."""
_LETTERS_OF_NOTES = 112
_ROW_MM = 3.9


def inside_section(
    inside: InsideResult, fins: tuple[FinSet, ...], *, roll_rad: float | None = None, us_units: bool = False
) -> str:
    """Draw what a plane through the axis cuts, the tip to the left, the outline behind it.

    Without a roll angle the plane is the one that cuts the most things. What it misses is dashed; numbers
    lead to the key underneath; a ring marks what stands in something else.
    """
    shown = Shown(us_units=us_units)
    roll = roll_drawn(inside) if roll_rad is None else roll_rad % math.pi
    reach = extent(inside, fins, roll)
    across_m, along_m = reach.high_m - reach.low_m, reach.aft_m - reach.start_m
    per_m = min((PAGE_MM - 2 * _EDGE_MM) / along_m, _MOST_ACROSS_MM / across_m)
    paper = laid_on_paper(_NAME, reach, roll_rad=roll, per_m=per_m, top_mm=9.0)
    named = _named(inside.things, paper)
    numbered = placed_balloons([anchor for _, _, anchor in named], paper.top_mm, paper.foot_mm, PAGE_MM)
    ruler_mm = paper.foot_mm + 8.0
    key, foot_mm = _key(named, ruler_mm + 13.0, shown)
    notes, end_mm = _notes(inside, paper, foot_mm + 2.0, us_units)
    body = (
        element("defs", *hatchings(_NAME)),
        section_drawn(paper, inside, fins),
        balloons(_NAME, numbered),
        station_ruler(_NAME, paper.station, inside.cavity.length_m, ruler_mm, us_units=us_units),
        key,
        notes,
    )
    return picture(
        _NAME,
        (PAGE_MM, end_mm),
        *body,
        title="Section through the vehicle",
        says=section_words(inside, shown, roll),
    )


def section_words(inside: InsideResult, shown: Shown, roll_rad: float | None = None) -> str:
    """Say what the picture shows, for those who cannot see it."""
    roll = roll_drawn(inside) if roll_rad is None else roll_rad
    told = [
        f"{thing.name} from {_length(thing.span_m[0], shown)} to {_length(thing.span_m[1], shown)}"
        for thing in _first_of_each(inside.things)
    ]
    return (
        f"Cut along the axis at roll {math.degrees(roll):.0f} degrees, tip to the left, length"
        f" {_length(inside.cavity.length_m, shown)}. Inside, from the tip: {'; '.join(told) or 'nothing'}."
    )


def _length(length_m: float, shown: Shown) -> str:
    return shown.plain(length_m, Dimension.LENGTH)


def _first_of_each(things: Sequence[Thing]) -> list[Thing]:
    """One thing of every name, from the tip aft."""
    first: dict[str, Thing] = {}
    for thing in sorted(things, key=lambda one: (one.span_m[0], one.kind is Kind.TUBE)):
        first.setdefault(thing.name, thing)
    return list(first.values())


def _named(things: Sequence[Thing], paper: Paper) -> list[tuple[Thing, str, Balloon]]:
    """Every name once, what the plane cuts of it first, with where its number points."""
    found: list[tuple[Thing, str, Balloon]] = []
    for k, thing in enumerate(_first_of_each(without_nuts(things)), start=1):
        same = [one for one in things if one.name == thing.name]
        cut = [one for one in same if not thing_cut(one, paper.roll_rad).is_empty]
        best = (cut or same)[0]
        shape = thing_cut(best, paper.roll_rad) if cut else thing_shadow(best, paper.roll_rad)
        within = [one for one in things if one.lies_in == best.name]
        for inner in within:
            shape = shape.difference(thing_cut(inner, paper.roll_rad))
        found.append((best, "" if cut else ", dashed", _balloon(str(k), shape, best, paper)))
    return found


def _balloon(text: str, shape: Any, thing: Thing, paper: Paper) -> Balloon:
    """Point at the middle of the largest piece that shows, free to slide along the axis within it."""
    import shapely

    pieces = [piece for piece in shapely.get_parts(shape) if piece.area > 0.0]
    piece = max(pieces, key=lambda one: one.area) if pieces else thing_shadow(thing, paper.roll_rad)
    spot = piece.representative_point()
    low, _, high, _ = piece.bounds
    along = piece.intersection(shapely.LineString([(low - 1.0, spot.y), (high + 1.0, spot.y)]))
    run = min(shapely.get_parts(along), key=lambda one: one.distance(spot))
    left, right = (paper.station.at(end) for end in run.bounds[::2])
    spare = 0.08 * (right - left)
    return Balloon(text=text, target=paper.point(spot.x, spot.y), slide=(left + spare, right - spare))


def _key(named: Sequence[tuple[Thing, str, Balloon]], top_mm: float, shown: Shown) -> tuple[str, float]:
    """Write the numbers' meaning in two columns, and tell how far down they reach."""
    half = math.ceil(len(named) / 2)
    written: list[str] = []
    for k, (thing, beside, balloon) in enumerate(named):
        x = _EDGE_MM + (k // half) * (PAGE_MM - 2 * _EDGE_MM) / 2
        y = top_mm + _ROW_MM * (k % half)
        sizes = f": {_span_words(thing, shown)}{beside}"
        text = clipped(called(thing), _LETTERS - len(sizes)) + sizes
        written.append(
            words(balloon.text, (x + 3.4, y), text_anchor="end", font_size=2.6, font_weight="bold")
        )
        written.append(words(text, (x + 4.6, y), font_size=2.6))
    return element("g", *written, id=f"{_NAME}-key"), top_mm + _ROW_MM * half


def called(thing: Thing) -> str:
    """Name a thing; the tabs of fins by what they are."""
    return f"tabs of {thing.name}" if thing.kind is Kind.TAB else thing.name


def _span_words(thing: Thing, shown: Shown) -> str:
    low, high = (_length(end, shown) for end in thing.span_m)
    return f"{_bare(low)} to {high}, {across_words(thing, shown)}"


def across_words(thing: Thing, shown: Shown) -> str:
    """Say how wide a thing is."""
    across = _length(thing.across_m, shown)
    if not thing.is_round:
        return f"{_bare(across)} by {_length(thing.depth_m, shown)}"
    return f"{across} across"


def _bare(length: str) -> str:
    """Leave out the unit."""
    return length.rsplit(" ", 1)[0]


def _notes(inside: InsideResult, paper: Paper, top_mm: float, us_units: bool) -> tuple[str, float]:
    """Draw the scale bar, and say what the marks mean."""
    unit = chosen(SHORT, us_units)
    bar_m = round_bar(60.0 / paper.per_m * unit.per_si) / unit.per_si
    left, right = _EDGE_MM, _EDGE_MM + bar_m * paper.per_m
    y = top_mm + 2.0
    bar = [
        line((left, y), (right, y), stroke_width=0.7, id=f"{_NAME}-bar", data_length_m=number(bar_m)),
        *(line((x, y - 1.2), (x, y + 1.2), stroke_width=0.4) for x in (left, right)),
        words(
            f"{plain(bar_m * unit.per_si)} {unit.name}", ((left + right) / 2, y - 1.6), text_anchor="middle"
        ),
        words(f"scale 1 : {plain(float(f'{1e3 / paper.per_m:.3g}'))} on paper", (right + 3.0, y + 0.9)),
    ]
    marks = " ".join(_marks(inside, paper))
    told = textwrap.wrap(marks, _LETTERS_OF_NOTES)
    rows = [
        words(text, (_EDGE_MM, y + 5.0 + _ROW_MM * k), font_size=2.6, fill="#5d5d5a")
        for k, text in enumerate(told)
    ]
    return element("g", *bar, *rows), y + 5.0 + _ROW_MM * len(told)


def _marks(inside: InsideResult, paper: Paper) -> Iterator[str]:
    yield f"Cut along the axis, roll {math.degrees(paper.roll_rad):.0f}° up."
    yield "Hatched: print, infill as full. Pale behind: the outline and the fins."
    if any(thing_cut(thing, paper.roll_rad).is_empty for thing in inside.things):
        yield "Dashed: beside the cut."
    if side_of_rail(inside, paper.roll_rad):
        yield "Blue dashes: the rail's face."
    if any(met.gap.low < -met.allowed_m for met in inside.meetings):
        yield "Thick rings: one stands in another."
