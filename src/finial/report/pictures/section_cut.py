"""What a plane through the axis cuts, drawn on paper: outline, print, things inside and the rail."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from finial.assemble.inside.results import InsideResult
from finial.inside.profile import cut_through, silhouette, telling_roll, thing_cut, thing_shadow
from finial.inside.things import Kind, Thing
from finial.report.pictures.axes import PAGE_MM, Scale
from finial.report.pictures.silhouette import fin_outlines
from finial.report.pictures.svg import BLUE, GREY, INK, PALE, RUST, element, hatch, line, number, polygon
from finial.shape.fin_set import FinSet

SLANTS_DEG: Final = (45.0, 135.0, 20.0, 110.0, 70.0, 160.0)
FILLS: Final = {
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
    Kind.EYE: "#3c3c3a",
    Kind.SCREW: "#3c3c3a",
    Kind.TAB: "#d5d5d0",
    Kind.OTHER: "#c8bfd8",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Where things lie on the paper, equal scales both ways."""

    name: str
    """Of the picture: starts every id inside it."""
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


def roll_drawn(inside: InsideResult) -> float:
    """Roll angle of the plane that tells the most [rad]."""
    rail = [inside.guide.rail.roll_rad] if inside.guide else []
    return telling_roll(inside.cavity, without_nuts(inside.things), rail)


def without_nuts(things: Sequence[Thing]) -> list[Thing]:
    """Leave out nuts and washers: they are seen at the ends of their rods."""
    return [thing for thing in things if thing.kind not in (Kind.NUT, Kind.EYE)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Extent:
    """How far everything that is drawn reaches, along the axis and beside it [m]."""

    start_m: float
    aft_m: float
    low_m: float
    high_m: float


def extent(inside: InsideResult, fins: Sequence[FinSet], roll_rad: float) -> Extent:
    """Outline, fins and everything inside, seen square to the plane."""
    plates = _plates(fins, roll_rad)
    outline = silhouette(inside.cavity, roll_rad)
    seen = [*outline.bounds[1::2], *(up for shape in plates for _, up in shape)]
    ends = [outline.bounds[2], *(station for shape in plates for station, _ in shape)]
    for thing in inside.things:
        _, low, _, high = thing_shadow(thing, roll_rad).bounds
        seen, ends = [*seen, low, high], [*ends, thing.span_m[1]]
    start = min(0.0, *(thing.span_m[0] for thing in inside.things)) if inside.things else 0.0
    return Extent(start_m=start, aft_m=max(ends), low_m=min(seen), high_m=max(seen))


def laid_on_paper(name: str, reach: Extent, *, roll_rad: float, per_m: float, top_mm: float) -> Paper:
    """Put it in the middle of the page, ``per_m`` millimetres of paper for a metre."""
    along_mm = per_m * (reach.aft_m - reach.start_m)
    left = (PAGE_MM - along_mm) / 2
    return Paper(
        name=name,
        roll_rad=roll_rad,
        station=Scale(low=reach.start_m, high=reach.aft_m, start_mm=left, end_mm=left + along_mm),
        axis_mm=top_mm + 2.0 + reach.high_m * per_m,
        top_mm=top_mm,
        foot_mm=top_mm + 4.0 + (reach.high_m - reach.low_m) * per_m,
    )


def hatchings(name: str) -> tuple[str, ...]:
    """Hatchings of the parts, for the definitions of the picture."""
    return tuple(
        hatch(f"{name}-print-{k}", GREY, slant_deg=slant, spacing_mm=1.1)
        for k, slant in enumerate(SLANTS_DEG)
    )


def section_drawn(paper: Paper, inside: InsideResult, fins: Sequence[FinSet]) -> str:
    """Draw the outline behind, the print, the rail, the things, what meets, and the axis."""
    return "".join(
        (
            _behind(paper, silhouette(inside.cavity, paper.roll_rad), _plates(fins, paper.roll_rad)),
            _prints(paper, inside),
            _rail(paper, inside),
            _things(paper, inside.things),
            _hits(paper, inside),
            _axis(paper),
        )
    )


def _plates(fins: Sequence[FinSet], roll_rad: float) -> list[list[tuple[float, float]]]:
    return [shape for fin in fins for _, shape in fin_outlines(fin, roll_rad)]


def _drawn(paper: Paper, region: Any, **style: str | float | None) -> str:
    return region_drawn(region, paper.point, **style)


def region_drawn(
    region: Any, place: Callable[[float, float], tuple[float, float]], **style: str | float | None
) -> str:
    """Draw a plane region with its holes as one path, each corner where ``place`` puts it."""
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
        + " L".join(f"{number(x)} {number(y)}" for x, y in (place(*corner) for corner in ring.coords[:-1]))
        + " Z"
        for ring in rings
    )
    given = {"stroke": INK, "stroke_width": 0.2, "fill_rule": "evenodd", "stroke_linejoin": "round"} | style
    return element("path", d=path, **given)


def _behind(paper: Paper, outline: Any, fins: Sequence[Sequence[tuple[float, float]]]) -> str:
    plates = [
        polygon([paper.point(*corner) for corner in shape], fill="#f6f6f4", stroke=GREY, stroke_width=0.2)
        for shape in fins
    ]
    skin = _drawn(paper, outline, fill="#fbfbfa", stroke=GREY, id=f"{paper.name}-outline")
    return element("g", *plates, skin)


def _prints(paper: Paper, inside: InsideResult) -> str:
    """Draw the print of each part where the plane cuts it, hatched by turns."""
    drawn: list[str] = []
    for k, row in enumerate(inside.cavity.printed):
        cut = cut_through(inside.cavity, row, paper.roll_rad)
        drawn.append(_drawn(paper, cut, fill=PALE, stroke="none"))
        slanted = f"url(#{paper.name}-print-{k % len(SLANTS_DEG)})"
        drawn.append(_drawn(paper, cut, fill=slanted, stroke=INK, stroke_width=0.25))
    return element("g", *drawn, id=f"{paper.name}-prints")


def _things(paper: Paper, things: Sequence[Thing]) -> str:
    """Draw the largest first, so that what lies in something shows; dashed what the plane misses."""
    drawn: list[str] = []
    for thing in sorted(things, key=lambda one: (one.kind is not Kind.BAY, -one.volume_m3)):
        cut = thing_cut(thing, paper.roll_rad)
        if cut.is_empty:
            shadow = thing_shadow(thing, paper.roll_rad)
            drawn.append(_drawn(paper, shadow, fill="none", stroke_dasharray="0.9 0.7", stroke_width=0.18))
        else:
            drawn.append(_drawn(paper, cut, fill=FILLS[thing.kind]))
    return element("g", *drawn, id=f"{paper.name}-things")


def side_of_rail(inside: InsideResult, roll_rad: float) -> float:
    """1 where the rail runs in the plane above the axis, -1 below, 0 where the plane misses it."""
    if inside.guide is None or abs(inside.guide.rail.aside_m) > 1e-3:
        return 0.0
    along = math.cos(inside.guide.rail.roll_rad - roll_rad)
    return next((one for one in (1.0, -1.0) if abs(along - one) < 1e-3), 0.0)


def _rail(paper: Paper, inside: InsideResult) -> str:
    """Draw rail and buttons where the plane runs through them."""
    side = side_of_rail(inside, paper.roll_rad)
    if inside.guide is None or side == 0.0:
        return ""
    guide, rail = inside.guide, inside.guide.rail
    top = rail.face_m + max(guide.reach.value if guide.reach else 0.0, 0.0)
    spools = [
        polygon(
            [
                paper.point(screw.middle_m + half * guide.across_m, side * up)
                for half, up in (
                    (-0.5, screw.length_m / 2 + math.hypot(*screw.offset_m)),
                    (-0.5, top),
                    (0.5, top),
                    (0.5, screw.length_m / 2 + math.hypot(*screw.offset_m)),
                )
            ],
            fill=FILLS[Kind.SCREW],
            stroke=INK,
            stroke_width=0.2,
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
        id=f"{paper.name}-rail",
    )
    return element("g", *spools, face)


def _hits(paper: Paper, inside: InsideResult) -> str:
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
    return element("g", *rings, id=f"{paper.name}-hits") if rings else ""


def _up(thing: Thing, roll_rad: float) -> float:
    y, z = thing.offset_m
    return y * math.cos(roll_rad) + z * math.sin(roll_rad)


def _axis(paper: Paper) -> str:
    return line(
        (paper.station.start_mm - 3, paper.axis_mm),
        (paper.station.end_mm + 3, paper.axis_mm),
        stroke=GREY,
        stroke_width=0.15,
        stroke_dasharray="4 1 1 1",
    )
