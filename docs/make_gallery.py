"""Write ``gallery.md`` and its picture: run ``python docs/make_gallery.py``; under a minute.

Sixteen invented shapes with the same motor and ballast, and fins that are the same share of their length,
through the same quick check: what differs is the shape alone.
"""

import itertools
import math
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from manifold3d import CrossSection, Manifold, OpType

from finial.assemble.stability.results import StabilityPoint
from finial.findings.check import check
from finial.findings.finding import Finding, Verdict, overall
from finial.findings.readiness import Depth, Readiness
from finial.inside.profile import silhouette
from finial.report.finding_words import title
from finial.report.guess_words import reason_words
from finial.report.pictures.silhouette import fin_outlines
from finial.report.pictures.svg import (
    BLUE,
    GREY,
    INK,
    RUST,
    element,
    hatch,
    line,
    picture,
    polygon,
    words,
)
from finial.report.shown import Shown

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "gallery.md"
PICTURE = ROOT / "docs" / "gallery.svg"
METRIC = Shown(us_units=False)
STAGES = ("air", "stability", "flight")
"""What is told here: not strength, recovery, electronics and range, which hang on more than the shape."""
_ROUND = 48


def _box(x: float, y: float, low: float, high: float, at: tuple[float, float] = (0.0, 0.0)) -> Manifold:
    return Manifold.cube([x, y, high - low]).translate([at[0] - x / 2, at[1] - y / 2, low])


def _rod(
    across: float, low: float, high: float, top: float | None = None, at: tuple[float, float] = (0.0, 0.0)
) -> Manifold:
    return Manifold.cylinder(high - low, across / 2, (across if top is None else top) / 2, _ROUND).translate(
        [*at, low]
    )


def _turned(*profile: tuple[float, float]) -> Manifold:
    """Body of revolution from (diameter, height), base first."""
    outline = [(0.0, profile[0][1]), *((across / 2, up) for across, up in profile), (0.0, profile[-1][1])]
    return Manifold.revolve(CrossSection([outline]), _ROUND)


def _prism(sides: int, *tiers: tuple[float, float, float, float]) -> Manifold:
    """Stacked frusta of a polygon: across the corners below and above, from one height to another."""
    return Manifold.batch_boolean(
        [
            Manifold.cylinder(high - low, below / 2, above / 2, sides)
            .rotate([0, 0, 180 / sides])
            .translate([0, 0, low])
            for below, above, low, high in tiers
        ],
        OpType.Add,
    )


def _leg(start: tuple[float, float, float], end: tuple[float, float, float], across: float) -> Manifold:
    ends = [Manifold.sphere(across / 2, 24).translate(list(at)) for at in (start, end)]
    return Manifold.batch_hull(ends)


def _star(points: int, across: float, waist: float) -> CrossSection:
    corners = [
        (
            (across if k % 2 == 0 else waist) / 2 * math.cos(math.pi * k / points),
            (across if k % 2 == 0 else waist) / 2 * math.sin(math.pi * k / points),
        )
        for k in range(2 * points)
    ]
    return CrossSection([corners])


def _tower() -> Manifold:
    return _prism(8, (166, 120, 0, 640), (150, 150, 640, 665), (104, 104, 665, 730), (120, 12, 730, 800))


def _pagoda() -> Manifold:
    storeys = [
        tier
        for k in range(4)
        for tier in (
            (200.0 - 20 * k, 200.0 - 20 * k, 150.0 * k, 150.0 * k + 100),
            (290.0 - 24 * k, 170.0 - 20 * k, 150.0 * k + 100, 150.0 * k + 150),
        )
    ]
    return _prism(4, *storeys) + _rod(24, 595, 700, top=6)


def _pot() -> Manifold:
    belly = _turned((170, 0), (270, 150), (250, 250), (150, 380), (60, 430))
    return belly + (_leg((90, 0, 160), (210, 0, 350), 50) ^ _box(900, 900, 0, 345))


def _arch() -> Manifold:
    legs = [_box(100, 100, 0, 470, at=(side, 0.0)) for side in (-150.0, 150.0)]
    return legs[0] + legs[1] + _box(400, 120, 460, 620) + _prism(4, (240, 60, 620, 700))


def _twin_towers() -> Manifold:
    towers = [_rod(120, 0, 720, at=(x, 0.0)) + _rod(120, 720, 800, 12, at=(x, 0.0)) for x in (-95.0, 95.0)]
    return towers[0] + towers[1] + _box(200, 80, 0, 60) + _box(200, 80, 430, 500) + _rod(90, 0, 260)


def _statue() -> Manifold:
    robe = _turned((176, 255), (160, 300), (132, 420), (168, 520), (120, 560), (48, 590))
    head = Manifold.sphere(46, 32).translate([0, 0, 620])
    arm = _leg((60, 0, 520), (170, 0, 690), 50)
    return _box(170, 170, 0, 260) + robe + head + arm + _leg((-75, 0, 525), (-86, 0, 450), 40)


def _bottle() -> Manifold:
    return _turned((150, 0), (150, 400), (60, 540), (60, 640), (50, 660))


def _cube() -> Manifold:
    return _box(280, 280, 0, 280)


def _starry() -> Manifold:
    tall = _star(5, 220, 120)
    return tall.extrude(480) + tall.extrude(160, scale_top=(0.1, 0.1)).translate([0, 0, 480])


def _ring() -> Manifold:
    wheel = Manifold.revolve(CrossSection.circle(45, 24).translate([165, 0]), _ROUND).rotate([90, 0, 0])
    return wheel.translate([0, 0, 300]) + _rod(110, 0, 260)


def _crooked() -> Manifold:
    bends = ((0.0, 0.0, 60.0), (0.0, 0.0, 300.0), (70.0, 0.0, 480.0), (10.0, 0.0, 680.0))
    limbs = [_leg(one, other, 120) for one, other in itertools.pairwise(bends)]
    return Manifold.batch_boolean([*limbs, _rod(120, 0, 120)], OpType.Add)


def _leaning() -> Manifold:
    return Manifold.batch_hull([_rod(140, 0, 5), _rod(140, 695, 700, at=(95.0, 0.0))])


def _slab() -> Manifold:
    return _box(280, 70, 0, 700)


def _tripod() -> Manifold:
    feet = [(170 * math.cos(turn), 170 * math.sin(turn), 30.0) for turn in (0.0, 2.094, 4.189)]
    legs = [_leg(foot, (0.0, 0.0, 420.0), 50) for foot in feet]
    return Manifold.batch_boolean([*legs, _rod(110, 180, 560), _rod(110, 560, 640, top=10)], OpType.Add)


def _sphere() -> Manifold:
    return Manifold.sphere(190, _ROUND).translate([0, 0, 190])


def _cone() -> Manifold:
    return _rod(220, 0, 620, top=6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A shape, and where it differs from the rest."""

    draw: Callable[[], Manifold]
    fins: int = 4
    first_at_deg: float = 45.0
    nozzle_up_mm: float = 0.0
    """How far above the base the motor's end stands, where there is nothing to hold it lower down."""


SHAPES: Mapping[str, Drawn] = {
    "tower": Drawn(draw=_tower),
    "pagoda": Drawn(draw=_pagoda),
    "pot": Drawn(draw=_pot),
    "arch": Drawn(draw=_arch, fins=2, first_at_deg=0.0, nozzle_up_mm=420.0),
    "twin towers": Drawn(draw=_twin_towers, first_at_deg=0.0),
    "statue": Drawn(draw=_statue),
    "bottle": Drawn(draw=_bottle),
    "cube": Drawn(draw=_cube),
    "star": Drawn(draw=_starry, fins=5, first_at_deg=0.0),
    "ring": Drawn(draw=_ring),
    "crooked": Drawn(draw=_crooked),
    "leaning": Drawn(draw=_leaning),
    "slab": Drawn(draw=_slab, first_at_deg=0.0),
    "tripod": Drawn(draw=_tripod, fins=3, first_at_deg=0.0, nozzle_up_mm=180.0),
    "sphere": Drawn(draw=_sphere),
    "cone": Drawn(draw=_cone),
}

MOTOR = """name = "Demo H200"
note = "An invented motor; no maker sells it."
curve = "motor.csv"
diameter = "38 mm"
length = "200 mm"
loaded_mass = "0.36 kg"
propellant_mass = "0.17 kg"
claimed_impulse = "300 N s"
ignition_delay = "0.1 s"
thrust_spread = "5 %"
"""
CURVE = "time_s,thrust_n\n0,0\n0.05,230\n0.4,240\n1.1,210\n1.35,150\n1.5,0\n"
SITE = 'name = "an invented field"\nground_asl = "240 m"\n'
SHEET = """[vehicle]
name = "{name}"

[[part]]
name = "{name}"
mesh = "shape.stl"
mesh_unit = "mm"
material = "PETG"
print = {{ wall = "1.2 mm", infill = "2 %" }}

[[item]]
name = "ballast"
mass = "1100 g +- 5 g"
station = "{ballast:.1f} mm"
known_by = "weighed"
kind = "ballast"

[[fin]]
name = "fins"
outline = [{corners}]
station = "{station:.1f} mm"
count = {count}
first_at = "{first_at} deg"
thickness = "4 mm"
material = "polycarbonate"

[guide]
buttons = ["{fore:.0f} mm", "{aft:.0f} mm"]
at = "{rail_deg} deg"

[motor]
data = "motor.toml"
nozzle_station = "{nozzle:.1f} mm"

[launch]
site = "site.toml"
rail_length = "3 m"
wind = "3 m/s +- 1 m/s"
wind_from = "250 deg"
terrain = "level open"
temperature = "15 degC"
code = "NFPA 1127"
crowd_distance = "120 m"
"""


def checked(name: str, folder: Path) -> Readiness:
    """Write one shape with its sheet, and ask for the quick check."""
    drawn = SHAPES[name]
    low, high = drawn.nozzle_up_mm, drawn.nozzle_up_mm + 210.0
    solid = drawn.draw() - _rod(39.0 / math.cos(math.pi / _ROUND), low - 1.0, high)
    write_stl(solid, folder / "shape.stl")
    tall = solid.bounding_box()[5]
    sheet = SHEET.format(
        name=name,
        ballast=0.08 * tall,
        corners=_corners(
            (0.0, 0.0), (0.12 * tall, 0.2 * tall), (0.22 * tall, 0.2 * tall), (0.22 * tall, 0.0)
        ),
        station=0.77 * tall,
        count=drawn.fins,
        first_at=drawn.first_at_deg,
        nozzle=tall - low,
        fore=0.5 * tall,
        aft=0.93 * tall,
        rail_deg=drawn.first_at_deg + 180.0 / drawn.fins,
    )
    for file, text in (
        ("motor.toml", MOTOR),
        ("motor.csv", CURVE),
        ("site.toml", SITE),
        ("sheet.toml", sheet),
    ):
        (folder / file).write_text(text, encoding="utf-8")
    return check(folder / "sheet.toml", depth=Depth.QUICK)


def _corners(*places: tuple[float, float]) -> str:
    return ", ".join(f'["{along:.0f} mm", "{out:.0f} mm"]' for along, out in places)


def write_stl(solid: Manifold, path: Path) -> None:
    """Write binary STL: 80 bytes of title, a count, 50 bytes a face."""
    mesh = solid.to_mesh()
    corners = np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)].astype("<f4")
    record = np.zeros(len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    record["corners"] = corners
    path.write_bytes(b"invented, millimetres".ljust(80) + np.uint32(len(record)).tobytes() + record.tobytes())


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What the check says of one shape."""

    name: str
    found: Readiness
    worst: StabilityPoint | None
    """Moment of the least margin; ``None`` where it never flew."""

    @property
    def told(self) -> tuple[Finding, ...]:
        """Findings that hang on the shape, worst first."""
        return self.found.of_stages(STAGES)

    @property
    def verdict(self) -> Verdict:
        """Over those."""
        return overall(self.told)


def shape_of(name: str) -> Shape:
    """Check one shape in a folder of its own."""
    with tempfile.TemporaryDirectory(prefix="gallery-") as folder:
        found = checked(name, Path(folder))
    worst = min(found.stability, key=lambda point: point.margin.low, default=None)
    return Shape(name=name, found=found, worst=worst)


def row(shape: Shape) -> str:
    """One line of the table."""
    length = shape.found.shape.skin.length_m
    if shape.worst is None:
        band = "never flew"
    else:
        low, high = (100 * end / length for end in (shape.worst.pressure.low, shape.worst.pressure.high))
        band = f"{low:.0f} to {high:.0f} %"
    margin = "" if shape.worst is None else f"{shape.worst.margin.low / shape.worst.width_m:+.2f}"
    return (
        f"| {shape.name} | {shape.verdict.words} | {band} | {margin} | {decides(shape)} | {unknown(shape)} |"
    )


def decides(shape: Shape) -> str:
    """Name what is worst, with its number."""
    worst = next((one for one in shape.told if one.verdict is not Verdict.GO), None)
    if worst is None:
        return "nothing: all limits of these stages are met"
    value = "" if worst.value is None else f": {METRIC.between(worst.value, worst.dimension)}"
    return f"{title(worst)}{value}"


def unknown(shape: Shape) -> str:
    """Name what widens the band most, in widths, and how many checks cannot be answered."""
    reasons = sorted(shape.found.air.contributions, key=lambda one: -(one.forward_m + one.aft_m))
    width = shape.found.shape.skin.width_m
    named = [(reason_words(one.name, one.step_m, one.gathered, METRIC), one) for one in reasons[:2]]
    said = [f"{name} {(one.forward_m + one.aft_m) / width:.2f}" for name, one in named]
    count = sum(one.verdict is Verdict.NOT_KNOWN for one in shape.told)
    more = [f"{count} checks not known"] if count else []
    return ", ".join([*said, *more])


def page(shapes: Sequence[Shape]) -> str:
    """Return the page as it is committed."""
    rows = "\n".join(map(row, shapes))
    counted = {verdict: sum(one.verdict is verdict for one in shapes) for verdict in Verdict}
    told = ", ".join(f"{count} {verdict.words}" for verdict, count in counted.items() if count)
    return f"{OPENING}{HEAD}{rows}\n\nTogether: {told}.\n{CLOSING}"


OPENING = """# Sixteen shapes

Sixteen invented shapes with one and the same kit: a printed shell of 1.2 mm, 1.1 kg of ballast at 8 %
of the length, flat fins of 22 % of the length by 20 %, an invented motor of class H, two buttons on a
rail of 3 m, 3 m/s of wind. Every row is a run of the quick check, so that what differs is the shape.

The verdict is over air, stability and flight alone: strength, recovery, electronics and range hang on
more than the shape, and a quick check is never a go for a whole vehicle. No-go here does not condemn a
shape: it says that this kit does not carry it. More ballast, larger or more fins and a rounded front
edge are what moves it, and `finial size` says by how much.

![Sixteen outlines with balance point and pressure band](gallery.svg)

The band is given in shares of the length, the least margin at its bad end and the reasons why the band
is wide in widths.

"""
HEAD = """| shape | verdict | pressure band | margin | what decides | what is unknown |
| --- | --- | --- | ---: | --- | --- |
"""
CLOSING = """
## What to take from it

- Slim bodies with fins in clean air (tower, bottle, crooked column) have a band of little more than a
  tenth of their length, and the kit carries them. A lean moves the balance point beside the thrust, and
  that decides. That a bend costs no more than the table says is what slices give; no bent body was ever
  held to a measured load.
- Roofs, galleries and ledges (pagoda, statue) make the band wide: what comes down behind a step is
  hardly known.
- Short bodies (cube, sphere) have a band nearly as long as they are, or longer: where a short body lets
  go of its lift was measured on other shapes than these.
- Holes and legs (arch, ring, tripod) are outside what slices along the axis can tell. The band says so
  by running off the vehicle. Only a flow round the very shape, or a measurement, could make it narrow.
- None of the sixteen was ever measured. Where measurements exist they stand on [the page of measured
  shapes](which-shapes.md) and on the [accuracy page](accuracy.md).

This page is generated by `docs/make_gallery.py`.
"""
_COLUMNS, _PER_M = 4, 70.0
_ACROSS_MM, _DOWN_MM, _FOOT_MM = 50.0, 84.0, 73.0


def drawing(shapes: Sequence[Shape]) -> str:
    """Draw every shape upright in a panel of its own, all to one scale."""
    places = [(_ACROSS_MM * (k % _COLUMNS), _DOWN_MM * (k // _COLUMNS)) for k in range(len(shapes))]
    panels = [
        element("g", _panel(one), transform=f"translate({x:g} {y:g})")
        for one, (x, y) in zip(shapes, places, strict=True)
    ]
    foot = _DOWN_MM * math.ceil(len(shapes) / _COLUMNS) + 3.0
    key = words("hatched: pressure band; rust: balance point; all to one scale, tip up", (4, foot))
    return picture(
        "gallery",
        (_ACROSS_MM * _COLUMNS, foot + 3.0),
        element("defs", hatch("gallery-band", BLUE, slant_deg=45)),
        *panels,
        key,
        title="Sixteen shapes with balance point and pressure band",
        says="Outlines of the shapes of the table, with the band and the balance point that stand in it.",
    )


Place = Callable[[float, float], tuple[float, float]]


def _panel(shape: Shape) -> str:
    """Outline with fins, tip up, on the ground line; the band clipped to a tenth beyond the shape."""
    length = shape.found.shape.skin.length_m

    def at(station_m: float, across_m: float) -> tuple[float, float]:
        return _ACROSS_MM / 2 + _PER_M * across_m, _FOOT_MM - _PER_M * (length - station_m)

    fins = [outline for one in shape.found.shape.fins for _, outline in fin_outlines(one)]
    plates = [polygon([at(*corner) for corner in one], fill="#f4f4f2", stroke=GREY) for one in fins]
    name = words(f"{shape.name}: {shape.verdict.words}", at(length + 0.115, 0.0), text_anchor="middle")
    return "".join((*_band(shape, at, length), *plates, _body(shape, at), *_balance(shape, at), name))


def _body(shape: Shape, at: Place) -> str:
    """Shadow of the shape, holes left open."""
    shadow = silhouette(shape.found.inside.cavity, 0.0)
    pieces = [piece for piece in shapely.get_parts(shadow) if piece.geom_type == "Polygon"]
    rings = [ring for piece in pieces for ring in (piece.exterior, *piece.interiors)]
    drawn = " ".join(
        "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in (at(*corner) for corner in ring.coords[:-1])) + " Z"
        for ring in rings
    )
    return element("path", d=drawn, fill="#ffffff", stroke=INK, stroke_width=0.25, fill_rule="evenodd")


def _band(shape: Shape, at: Place, length_m: float) -> Iterator[str]:
    if shape.worst is None:
        return
    low, high = (
        min(max(end, -0.1 * length_m), 1.1 * length_m)
        for end in (shape.worst.pressure.low, shape.worst.pressure.high)
    )
    (_, top), (_, bottom) = at(low, 0.0), at(high, 0.0)
    style = {"fill": "url(#gallery-band)", "stroke": BLUE, "stroke_width": 0.2}
    yield element("rect", x=3.0, y=top, width=_ACROSS_MM - 6.0, height=bottom - top, **style)


def _balance(shape: Shape, at: Place) -> Iterator[str]:
    if shape.worst is not None:
        _, y = at(shape.worst.balance.value, 0.0)
        yield line((3.0, y), (_ACROSS_MM - 3.0, y), stroke=RUST, stroke_width=0.5)


if __name__ == "__main__":
    found = [shape_of(name) for name in SHAPES]
    PAGE.write_text(page(found), encoding="utf-8")
    PICTURE.write_text(drawing(found), encoding="utf-8")
