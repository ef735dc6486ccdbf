"""Which drawings a vehicle has: fins, holes of rods, strips round the body, the whole outside and cut."""

import math
from collections.abc import Callable, Iterator

from finial.assemble.inside.lengthwise import lengthwise_template
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.templates import (
    Corners,
    DrillTemplate,
    FinTemplate,
    drill_templates,
    fin_templates,
)
from finial.assemble.vehicle.wraps import OutlineTemplate, WrapTemplate, outline_template, wrap_templates
from finial.report.drawings.lengthwise import lengthwise_drawing
from finial.report.drawings.shapes import (
    Circle,
    Drawing,
    DrawnOutline,
    Ink,
    Label,
    Rows,
    Shape,
    cross,
    dimension,
    in_mm,
    line,
)
from finial.report.shown import Shown

_CROSS_MM = 4.0
_STRIP_MM = 40.0
"""Width of a strip that is laid round the body [mm]; chosen."""
_MM = 1e3


def templates(vehicle: LoadedVehicle) -> Iterator[Drawing]:
    """Everything that is cut or drilled by, true to scale; the sheet may be only begun."""
    us_units = vehicle.us_units
    yield from (fin_drawing(fin, us_units=us_units) for fin in fin_templates(vehicle))
    yield from (drill_drawing(drill, us_units=us_units) for drill in drill_templates(vehicle))
    yield from (wrap_drawing(wrap, us_units=us_units) for wrap in wrap_templates(vehicle))


def wholes(vehicle: LoadedVehicle) -> tuple[Callable[[int], Drawing], ...]:
    """Return what draws the whole, outside and cut, one in so many; the sheet may be only begun."""
    us_units, outline, cut = vehicle.us_units, outline_template(vehicle), lengthwise_template(vehicle)
    return (
        lambda scale: outline_drawing(outline, us_units=us_units, scale=scale),
        lambda scale: lengthwise_drawing(cut, us_units=us_units, scale=scale),
    )


def fin_drawing(fin: FinTemplate, *, us_units: bool) -> Drawing:
    """Draw one fin, root below, fore end to the left, with its tab."""
    shown = Shown(us_units=us_units)
    shapes: list[Shape] = [DrawnOutline(points=in_mm(fin.outline_m))]
    if fin.tab_m:
        shapes.append(DrawnOutline(points=in_mm(fin.tab_m), ink=Ink.FOLD))
    said = (
        f"{fin.name}: cut {fin.count} of {fin.material}, {shown.offset(fin.thickness_m)} thick.",
        "Root below, fore end to the left."
        + (" Dashed: the tab, as deep as the sheet says." if fin.tab_m else ""),
    )
    return Drawing(name="fin", title=f"fin {fin.name}", shapes=tuple(shapes), said=said)


def drill_drawing(drill: DrillTemplate, *, us_units: bool) -> Drawing:
    """Draw holes in the outline of the body, seen from the tip, the side of roll angle 0 to the right."""
    shown = Shown(us_units=us_units)
    reach = max(_reach(corners) for corners in (drill.places_m, *drill.outlines_m)) * _MM + drill.hole_m * _MM
    wide, station = shown.offset(drill.hole_m), shown.offset(drill.station_m)
    shapes: list[Shape] = [DrawnOutline(points=in_mm(loop), ink=Ink.MARK) for loop in drill.outlines_m]
    shapes += cross((0.0, 0.0), _CROSS_MM)
    shapes.append(line((0.0, 0.0), (reach, 0.0)))
    for middle in in_mm(drill.places_m):
        shapes.append(Circle(middle=middle, diameter=drill.hole_m * _MM))
        shapes += cross(middle, _CROSS_MM, Ink.HOLE)
    return Drawing(
        name="drill",
        title=f"holes {drill.name} {shown.length(drill.station_m)}",
        shapes=tuple(shapes),
        said=(
            f"{drill.name}: {len(drill.places_m)} holes for {drill.thread}, drawn {wide} wide.",
            "The drill's play is yours. The outline is the nearest cut of the body, to lay this on.",
            f"Seen from the tip at station {station}, roll 0 to the right; mirror it for behind.",
        ),
    )


def wrap_drawing(wrap: WrapTemplate, *, us_units: bool) -> Drawing:
    """Draw a strip that is laid round the body, its ends meeting at roll angle 0, fore edge up."""
    shown = Shown(us_units=us_units)
    girth, half = wrap.girth_m * _MM, _STRIP_MM / 2
    shapes: list[Shape] = [
        DrawnOutline(points=((0.0, -half), (girth, -half), (girth, half), (0.0, half))),
        line((0.0, 0.0), (girth, 0.0)),
    ]
    for along, mark in zip(wrap.along_m, wrap.marks, strict=True):
        at = (along * _MM, 0.0)
        if mark.hole_m:
            shapes.append(Circle(middle=at, diameter=mark.hole_m * _MM))
        shapes.append(line((at[0], -half), (at[0], half), Ink.MARK))
        turned = f"{math.degrees(mark.roll_rad) % 360:.0f} deg"
        shapes.append(Label(text=f"{mark.name} {turned}", at=(at[0] + 1.0, half - 4.0)))
    return Drawing(
        name="wrap",
        title=f"strip {wrap.name} {shown.length(wrap.station_m)}",
        shapes=tuple(shapes),
        said=(
            f"Strip for {wrap.name}: its middle line lies at station {shown.offset(wrap.station_m)}.",
            f"Cut it {shown.offset(wrap.girth_m)} long: both ends at roll angle 0, fore edge up.",
            "Roll angles rise to the right. Where the body tapers, its middle line is true: trim the edges.",
        ),
    )


def outline_drawing(outline: OutlineTemplate, *, us_units: bool, scale: int = 1) -> Drawing:
    """Draw the whole from the side, tip to the left, with stations of its parts, length and width."""
    shown, per_m = Shown(us_units=us_units), _MM / scale
    low = min(y for _, y in outline.side_m) * per_m
    high = max(y for _, y in outline.side_m) * per_m
    shapes: list[Shape] = [DrawnOutline(points=in_mm(outline.side_m, scale), ink=Ink.CUT)]
    stations, names = Rows(), Rows()
    for station in sorted({round(end, 6) for _, *ends in outline.parts for end in ends}):
        x, said = station * per_m, shown.offset(station)
        under = low - 10.0 - 5.0 * stations.row_of(x, said)
        shapes.append(line((x, under + 4.0), (x, high), Ink.MARK))
        shapes.append(Label(text=said, at=(x, under), anchor="middle"))
    below = low - 13.0 - 5.0 * stations.count
    shapes += dimension((0.0, below), (outline.length_m * per_m, below), shown.offset(outline.length_m))
    edge = outline.length_m * per_m + 12.0
    shapes += dimension((edge, low), (edge, high), shown.offset((high - low) / per_m))
    for name, fore, aft in outline.parts:
        x = (fore + aft) / 2 * per_m
        shapes.append(Label(text=name, at=(x, high + 6.0 + 5.0 * names.row_of(x, name)), anchor="middle"))
    return Drawing(
        name="outline",
        title="outline",
        shapes=tuple(shapes),
        said=(
            f"{outline.name} from the side, tip to the left: {shown.offset(outline.length_m)} long, "
            f"{shown.offset((high - low) / per_m)} across.",
            "Numbers under it are stations, aft of the tip, where parts begin and end. Fins are not drawn.",
        ),
        scale=scale,
    )


def _reach(corners: Corners) -> float:
    """Farthest of some points from the axis [m]."""
    return max((math.hypot(y, z) for y, z in corners), default=0.0)
