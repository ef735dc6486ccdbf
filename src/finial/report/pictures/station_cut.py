"""What a plane square to the axis cuts at one station: print, room, things inside and fins, true to scale."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from finial.assemble.inside.results import InsideResult
from finial.inside.cavity import regions_of
from finial.inside.things import Kind, Thing
from finial.report.pictures.axes import plain, round_bar
from finial.report.pictures.axis_units import SHORT, chosen
from finial.report.pictures.section_cut import FILLS, SLANTS_DEG, hatchings, region_drawn
from finial.report.pictures.svg import GREY, INK, PALE, element, line, picture, words
from finial.shape.fin_set import FinSet

_NAME: Final = "station-cut"
_SIDE_MM: Final = 96.0
_EDGE_MM: Final = 9.0
_LEAST_SEEN_MM: Final = 5.0
"""A number stands in what is wider than this on paper, and beside what is narrower."""

_STEP_MM: Final = 4.0
"""From a number out to the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MetThing:
    """A thing that the plane meets, and the region it takes there, body (y, z) [m]."""

    number: int
    thing: Thing
    region: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class StationCut:
    """The plane that was cut nearest to a station, and what it meets."""

    station_m: float
    row: int
    """Which cut of the cavity it is."""
    inside: InsideResult
    met: tuple[MetThing, ...]
    """From the axis outward."""


def station_cut(inside: InsideResult, station_m: float) -> StationCut:
    """Take the cut nearest to a station; its own station is told."""
    stations = inside.cavity.stations_m
    row = int(np.abs(stations - station_m).argmin())
    at = stations[row : row + 1]
    found = [(thing, regions_of(thing, at)[0]) for thing in inside.things]
    met = sorted(
        (pair for pair in found if not pair[1].is_empty),
        key=lambda pair: (_off(pair[1]), pair[0].name, pair[0].across_m, _turn(pair[1])),
    )
    return StationCut(
        station_m=float(at[0]),
        row=row,
        inside=inside,
        met=tuple(
            MetThing(number=number, thing=thing, region=region)
            for number, (thing, region) in enumerate(met, start=1)
        ),
    )


def _off(region: Any) -> float:
    """Distance of its middle from the axis, to a tenth of a millimetre [m]."""
    return round(math.hypot(region.centroid.x, region.centroid.y), 4)


def _turn(region: Any) -> float:
    """Roll angle of its middle, to the nearest degree [deg]: equal things are numbered round the axis."""
    return round(math.degrees(math.atan2(region.centroid.y, region.centroid.x))) % 360


def station_picture(cut: StationCut, fins: Sequence[FinSet], *, says: str, us_units: bool) -> str:
    """Draw it as seen from the tail: roll 0 up, roll angles clockwise."""
    plates = [corners for fin in fins for corners in fin_cuts(fin, cut.station_m)]
    reach_m = _reach(cut, plates)
    per_m = (_SIDE_MM - 2 * _EDGE_MM) / (2 * reach_m)
    middle = _SIDE_MM / 2

    def place(y_m: float, z_m: float) -> tuple[float, float]:
        return middle + z_m * per_m, middle - y_m * per_m

    drawn = (
        element("defs", *hatchings(_NAME)),
        _rolls(middle),
        *(region_drawn(one, place, fill="#f6f6f4", stroke=GREY) for one in plates),
        region_drawn(cut.inside.cavity.skin[cut.row], place, fill="#fbfbfa", stroke=GREY),
        *_prints(cut, place),
        *(region_drawn(one.region, place, fill=FILLS[one.thing.kind]) for one in _largest_first(cut.met)),
        _numbers(cut, place, per_m),
        _bar(per_m, us_units),
    )
    title = "Section across the vehicle"
    return picture(_NAME, (_SIDE_MM, _SIDE_MM + 8.0), *drawn, title=title, says=says)


def fin_cuts(fin: FinSet, station_m: float) -> list[Any]:
    """Return what a plane at a station cuts of each fin of a set, body (y, z) [m]; its cant is left out."""
    import shapely

    across = shapely.LineString([(station_m - fin.station_m, -1e3), (station_m - fin.station_m, 1e3)])
    cut = shapely.make_valid(shapely.Polygon(fin.outline_m)).intersection(across)
    if cut.is_empty or cut.length == 0.0:
        return []
    low, high = fin.root_radius_m + cut.bounds[1], fin.root_radius_m + cut.bounds[3]
    half = fin.mean_thickness_m / 2
    plates: list[Any] = []
    for roll in fin.rolls_rad:
        out, aside = (
            np.array([math.cos(roll), math.sin(roll)]),
            np.array([-math.sin(roll), math.cos(roll)]),
        )
        corners = [low * out + half * aside, high * out + half * aside]
        corners += [high * out - half * aside, low * out - half * aside]
        plates.append(shapely.Polygon(np.array(corners) + fin.offset_m))
    return plates


def _reach(cut: StationCut, plates: Sequence[Any]) -> float:
    import shapely

    drawn = [cut.inside.cavity.skin[cut.row], *plates, *(one.region for one in cut.met)]
    corners = shapely.get_coordinates(drawn)
    return max(float(np.abs(corners).max(initial=0.0)), 1e-3)


def _largest_first(met: Sequence[MetThing]) -> list[MetThing]:
    """Draw what lies in something else over it."""
    return sorted(met, key=lambda one: (one.thing.kind is not Kind.BAY, -one.region.area))


def _prints(cut: StationCut, place: Any) -> list[str]:
    drawn: list[str] = []
    for k, row in enumerate(cut.inside.cavity.printed):
        slanted = f"url(#{_NAME}-print-{k % len(SLANTS_DEG)})"
        drawn.append(region_drawn(row[cut.row], place, fill=PALE, stroke="none"))
        drawn.append(region_drawn(row[cut.row], place, fill=slanted, stroke=INK, stroke_width=0.25))
    return drawn


def _numbers(cut: StationCut, place: Any, per_m: float) -> str:
    """Put each number in the middle of its thing, or out from a thin one, none over another."""
    taken: list[tuple[float, float]] = []
    for one in cut.met:
        spot = one.region.representative_point()
        x, y = place(spot.x, spot.y)
        low_y, low_z, high_y, high_z = one.region.bounds
        thin = min(high_y - low_y, high_z - low_z) * per_m < _LEAST_SEEN_MM
        out = _away(x, y)
        if thin:
            x, y = x + _STEP_MM * out[0], y + _STEP_MM * out[1]
        while any(math.dist((x, y), other) < _STEP_MM for other in taken):
            x, y = x + _STEP_MM * out[0], y + _STEP_MM * out[1]
        taken.append((x, y))
    return "".join(_number(one, at) for one, at in zip(cut.met, taken, strict=True))


def _away(x: float, y: float) -> tuple[float, float]:
    """Direction away from the axis on paper; down at the axis itself."""
    across, down = x - _SIDE_MM / 2, y - _SIDE_MM / 2
    far = math.hypot(across, down)
    return (across / far, down / far) if far > 1e-6 else (0.0, 1.0)


def _number(one: MetThing, at: tuple[float, float]) -> str:
    ring = element("circle", cx=at[0], cy=at[1], r=1.9, fill="#ffffff", stroke=INK, stroke_width=0.15)
    return ring + words(str(one.number), (at[0], at[1] + 0.9), text_anchor="middle", font_size=2.5)


def _rolls(middle: float) -> str:
    """Say which way is which roll angle."""
    near, far = 4.0, _SIDE_MM - 4.0
    places = {"0°": (middle, near), "90°": (far, middle), "180°": (middle, far), "270°": (near, middle)}
    told = [
        words(text, (x, y + 1.0), text_anchor="middle", font_size=2.6, fill="#5d5d5a")
        for text, (x, y) in places.items()
    ]
    cross = {"stroke": GREY, "stroke_width": 0.15, "stroke_dasharray": "4 1 1 1"}
    lines = (
        line((middle, near + 2), (middle, far - 2), **cross),
        line((near + 3, middle), (far - 3, middle), **cross),
    )
    return element("g", *lines, *told)


def _bar(per_m: float, us_units: bool) -> str:
    """Draw a bar of a round length: the picture is true to scale."""
    unit = chosen(SHORT, us_units)
    length = round_bar(36.0 / per_m * unit.per_si)
    y, left, long = _SIDE_MM + 4.0, _EDGE_MM, length / unit.per_si * per_m
    told = words(f"{plain(length)} {unit.name}", (left + long + 2.0, y + 1.0))
    return line((left, y), (left + long, y), stroke_width=0.7, id=f"{_NAME}-bar") + told
