"""Section through the whole vehicle, true to scale: print, room, and everything that stands inside."""

import math
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from finial.assemble.inside.results import InsideResult
from finial.core.dimensions import Dimension
from finial.inside.profile import cut_through, silhouette, telling_roll, thing_cut, thing_shadow
from finial.inside.things import Kind, Thing
from finial.report.pictures.axes import PAGE_MM, Scale, plain
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.balloons import Balloon, balloons, placed_balloons
from finial.report.pictures.ruler import station_ruler
from finial.report.pictures.silhouette import fin_outlines
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    PALE,
    RUST,
    clipped,
    element,
    hatch,
    line,
    number,
    picture,
    polygon,
    words,
)
from finial.report.shown import Shown
from finial.shape.fin_set import FinSet

_NAME = "inside-section"
_EDGE_MM = 5.0
_MOST_ACROSS_MM = 96.0
_SLANTS_DEG = (45.0, 135.0, 20.0, 110.0, 70.0, 160.0)
_FILLS = {
    Kind.MOTOR: "#d9a184",
    Kind.MOTOR_TUBE: "#8d8d88",
    Kind.BAY: "#ffffff",
    Kind.PACK: "#f3e2a9",
    Kind.SLED: "#a8c8de",
    Kind.BALLAST: "#6e6e6a",
    Kind.BULKHEAD: "#c9a978",
    Kind.TUBE: "#8d8d88",
    Kind.ROD: "#3c3c3a",
    Kind.NUT: "#3c3c3a",
    Kind.SCREW: "#3c3c3a",
    Kind.TAB: "#d5d5d0",
    Kind.OTHER: "#c8bfd8",
}
_LETTERS = 54
"""Most letters of one line of the key."""
_LETTERS_OF_NOTES = 112
_ROW_MM = 3.9


@dataclass(frozen=True, slots=True, kw_only=True)
class _Paper:
    """Where things lie on the paper, equal scales both ways."""

    roll_rad: float
    station: Scale
    axis_mm: float
    top_mm: float
    foot_mm: float

    @property
    def per_m(self) -> float:
        """Millimetres of paper for a metre."""
        return self.station.at(1.0) - self.station.at(0.0)

    def point(self, station_m: float, up_m: float) -> tuple[float, float]:
        """Tip to the left, the plane's roll angle up."""
        return self.station.at(station_m), self.axis_mm - up_m * self.per_m


def inside_section(
    inside: InsideResult, fins: tuple[FinSet, ...], *, roll_rad: float | None = None, us_units: bool = False
) -> str:
    """Draw what a plane through the axis cuts, the tip to the left, the outline behind it.

    Without a roll angle the plane is the one that cuts the most things. What it misses is dashed; numbers
    lead to the key underneath; a ring marks what stands in something else.
    """
    shown = Shown(us_units=us_units)
    roll = roll_drawn(inside) if roll_rad is None else roll_rad % math.pi
    outline = silhouette(inside.cavity, roll)
    seen = [shape for fin in fins for _, shape in fin_outlines(fin, roll)]
    paper = _paper(inside, outline, seen, roll)
    named = _named(inside.things, paper)
    numbered = placed_balloons([anchor for _, _, anchor in named], paper.top_mm, paper.foot_mm, PAGE_MM)
    ruler_mm = paper.foot_mm + 8.0
    key, foot_mm = _key(named, ruler_mm + 13.0, shown)
    notes, end_mm = _notes(inside, paper, foot_mm + 2.0, us_units)
    body = (
        element(
            "defs",
            *(
                hatch(f"{_NAME}-print-{k}", GREY, slant_deg=slant, spacing_mm=1.1)
                for k, slant in enumerate(_SLANTS_DEG)
            ),
        ),
        _behind(paper, outline, seen),
        _prints(paper, inside),
        _rail(paper, inside),
        _things(paper, inside.things),
        _hits(paper, inside),
        _axis(paper),
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


def roll_drawn(inside: InsideResult) -> float:
    """Roll angle of the plane that tells the most [rad]."""
    rail = [inside.guide.rail.roll_rad] if inside.guide else []
    return telling_roll(inside.cavity, _told(inside.things), rail)


def _told(things: Sequence[Thing]) -> list[Thing]:
    """Leave out nuts and washers: they are seen at the ends of their rods."""
    return [thing for thing in things if thing.kind is not Kind.NUT]


def _length(length_m: float, shown: Shown) -> str:
    return shown.plain(length_m, Dimension.LENGTH)


def _paper(
    inside: InsideResult, outline: Any, fins: Sequence[Sequence[tuple[float, float]]], roll_rad: float
) -> _Paper:
    """Fit outline, fins and things on the page."""
    seen = [*outline.bounds[1::2], *(up for shape in fins for _, up in shape)]
    ends = [outline.bounds[2], *(station for shape in fins for station, _ in shape)]
    for thing in inside.things:
        _, low, _, high = thing_shadow(thing, roll_rad).bounds
        seen, ends = [*seen, low, high], [*ends, thing.span_m[1]]
    start = min(0.0, *(thing.span_m[0] for thing in inside.things)) if inside.things else 0.0
    aft, low, high = max(ends), min(seen), max(seen)
    per_m = min((PAGE_MM - 2 * _EDGE_MM) / (aft - start), _MOST_ACROSS_MM / (high - low))
    left = (PAGE_MM - per_m * (aft - start)) / 2
    station = Scale(low=start, high=aft, start_mm=left, end_mm=left + per_m * (aft - start))
    top = 9.0
    return _Paper(
        roll_rad=roll_rad,
        station=station,
        axis_mm=top + 2.0 + high * per_m,
        top_mm=top,
        foot_mm=top + 4.0 + (high - low) * per_m,
    )


def _drawn(paper: _Paper, region: Any, **style: str | float | None) -> str:
    """Draw a plane region with its holes as one path."""
    import shapely

    rings = [
        ring
        for piece in shapely.get_parts(region)
        if piece.geom_type == "Polygon"
        for ring in (piece.exterior, *piece.interiors)
    ]
    if not rings:
        return ""
    path = " ".join(
        "M"
        + " L".join(
            f"{number(x)} {number(y)}" for x, y in (paper.point(*corner) for corner in ring.coords[:-1])
        )
        + " Z"
        for ring in rings
    )
    given = {"stroke": INK, "stroke_width": 0.2, "fill_rule": "evenodd", "stroke_linejoin": "round"} | style
    return element("path", d=path, **given)


def _behind(paper: _Paper, outline: Any, fins: Sequence[Sequence[tuple[float, float]]]) -> str:
    plates = [
        polygon([paper.point(*corner) for corner in shape], fill="#f6f6f4", stroke=GREY, stroke_width=0.2)
        for shape in fins
    ]
    skin = _drawn(paper, outline, fill="#fbfbfa", stroke=GREY, id=f"{_NAME}-outline")
    return element("g", *plates, skin)


def _prints(paper: _Paper, inside: InsideResult) -> str:
    """Draw the print of each part where the plane cuts it, hatched by turns."""
    drawn: list[str] = []
    for k, row in enumerate(inside.cavity.printed):
        cut = cut_through(inside.cavity, row, paper.roll_rad)
        drawn.append(_drawn(paper, cut, fill=PALE, stroke="none"))
        slanted = f"url(#{_NAME}-print-{k % len(_SLANTS_DEG)})"
        drawn.append(_drawn(paper, cut, fill=slanted, stroke=INK, stroke_width=0.25))
    return element("g", *drawn, id=f"{_NAME}-prints")


def _things(paper: _Paper, things: Sequence[Thing]) -> str:
    """Draw the largest first, so that what lies in something shows; dashed what the plane misses."""
    drawn: list[str] = []
    for thing in sorted(things, key=lambda one: (one.kind is not Kind.BAY, -one.volume_m3)):
        cut = thing_cut(thing, paper.roll_rad)
        if cut.is_empty:
            shadow = thing_shadow(thing, paper.roll_rad)
            drawn.append(_drawn(paper, shadow, fill="none", stroke_dasharray="0.9 0.7", stroke_width=0.18))
        else:
            drawn.append(_drawn(paper, cut, fill=_FILLS[thing.kind]))
    return element("g", *drawn, id=f"{_NAME}-things")


def _side_of_rail(inside: InsideResult, roll_rad: float) -> float:
    """1 where the rail runs in the plane above the axis, -1 below, 0 where the plane misses it."""
    if inside.guide is None or abs(inside.guide.rail.aside_m) > 1e-3:
        return 0.0
    along = math.cos(inside.guide.rail.roll_rad - roll_rad)
    return next((one for one in (1.0, -1.0) if abs(along - one) < 1e-3), 0.0)


def _rail(paper: _Paper, inside: InsideResult) -> str:
    """Draw rail and buttons where the plane runs through them."""
    side = _side_of_rail(inside, paper.roll_rad)
    if inside.guide is None or side == 0.0:
        return ""
    rail = inside.guide.rail
    spools = [
        line(
            paper.point(screw.middle_m, side * (screw.length_m / 2 + math.hypot(*screw.offset_m))),
            paper.point(screw.middle_m, side * rail.face_m),
            stroke=INK,
            stroke_width=1.2,
        )
        for screw in inside.things
        if screw.kind is Kind.SCREW and screw.toward_rad == rail.roll_rad and not screw.is_upright
    ]
    face = line(
        paper.point(paper.station.low, side * rail.face_m),
        paper.point(inside.cavity.length_m, side * rail.face_m),
        stroke=BLUE,
        stroke_width=0.35,
        stroke_dasharray="2.5 1",
        id=f"{_NAME}-rail",
    )
    return element("g", *spools, face)


def _hits(paper: _Paper, inside: InsideResult) -> str:
    """Ring what stands in something else."""
    rings: list[str] = []
    by_name = {thing.name: thing for thing in inside.things}
    for met in inside.meetings:
        if met.gap.low >= -met.allowed_m:
            continue
        pair = [by_name[name] for name in (met.first, met.second) if name in by_name]
        smaller = min(pair, key=lambda thing: thing.volume_m3, default=None)
        up = _up(smaller, paper.roll_rad) if smaller else 0.0
        x, y = paper.point(met.station_m, up)
        rings.append(element("circle", cx=x, cy=y, r=2.2, fill="none", stroke=RUST, stroke_width=0.7))
    return element("g", *rings, id=f"{_NAME}-hits") if rings else ""


def _up(thing: Thing, roll_rad: float) -> float:
    y, z = thing.offset_m
    return y * math.cos(roll_rad) + z * math.sin(roll_rad)


def _axis(paper: _Paper) -> str:
    return line(
        (paper.station.start_mm - 3, paper.axis_mm),
        (paper.station.end_mm + 3, paper.axis_mm),
        stroke=GREY,
        stroke_width=0.15,
        stroke_dasharray="4 1 1 1",
    )


def _first_of_each(things: Sequence[Thing]) -> list[Thing]:
    """One thing of every name, from the tip aft."""
    first: dict[str, Thing] = {}
    for thing in sorted(things, key=lambda one: (one.span_m[0], one.kind is Kind.TUBE)):
        first.setdefault(thing.name, thing)
    return list(first.values())


def _named(things: Sequence[Thing], paper: _Paper) -> list[tuple[Thing, str, Balloon]]:
    """Every name once, what the plane cuts of it first, with where its number points."""
    found: list[tuple[Thing, str, Balloon]] = []
    for k, thing in enumerate(_first_of_each(_told(things)), start=1):
        same = [one for one in things if one.name == thing.name]
        cut = [one for one in same if not thing_cut(one, paper.roll_rad).is_empty]
        best = (cut or same)[0]
        shape = thing_cut(best, paper.roll_rad) if cut else thing_shadow(best, paper.roll_rad)
        within = [one for one in things if one.lies_in == best.name]
        for inner in within:
            shape = shape.difference(thing_cut(inner, paper.roll_rad))
        found.append((best, "" if cut else ", dashed", _balloon(str(k), shape, best, paper)))
    return found


def _balloon(text: str, shape: Any, thing: Thing, paper: _Paper) -> Balloon:
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


def _notes(inside: InsideResult, paper: _Paper, top_mm: float, us_units: bool) -> tuple[str, float]:
    """Draw the scale bar, and say what the marks mean."""
    unit = chosen(SHORT, us_units)
    bar_m = _round_bar(60.0 / paper.per_m * unit.per_si) / unit.per_si
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


def _marks(inside: InsideResult, paper: _Paper) -> Iterator[str]:
    yield f"Cut along the axis, roll {math.degrees(paper.roll_rad):.0f}° up."
    yield "Hatched: print, infill as full. Pale behind: the outline and the fins."
    if any(thing_cut(thing, paper.roll_rad).is_empty for thing in inside.things):
        yield "Dashed: beside the cut."
    if _side_of_rail(inside, paper.roll_rad):
        yield "Blue dashes: the rail's face."
    if any(met.gap.low < -met.allowed_m for met in inside.meetings):
        yield "Thick rings: one stands in another."


def _round_bar(longest: float) -> float:
    """Longest of 1, 2, 5 times a power of ten within a length."""
    power = 10.0 ** math.floor(math.log10(longest))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= longest * (1 + 1e-9))
