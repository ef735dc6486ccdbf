"""One station: areas, walls, what stands there, and what it carries."""

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finial.assemble.strength.results import CaseLoads, StationReserves
from finial.core.dimensions import Dimension
from finial.findings.limits import Limits
from finial.findings.readiness import Readiness
from finial.inside.cavity import Printed
from finial.report.document import ReportSection, Table
from finial.report.pictures.inside_section import across_words, called
from finial.report.pictures.station_cut import MetThing, StationCut, fin_cuts
from finial.report.sections.loads import moment_words
from finial.report.shown import NOT_KNOWN, Shown
from finial.report.strength_words import mode_words
from finial.report.wording.strength import case_words

_ON_AXIS_M = 1e-4
_SLACK_M = 1e-9


def station_section(readiness: Readiness, cut: StationCut) -> ReportSection:
    """Tell everything that is known of one cut across the vehicle."""
    shown = Shown(us_units=readiness.us_units)
    tables = (_prints(cut, shown), _met(cut, shown), _carried(readiness, cut, shown))
    return ReportSection(
        key="at-station",
        title=f"At station {shown.length(cut.station_m)}",
        facts=tuple(_facts(readiness, cut, shown)),
        tables=tuple(table for table in tables if table.rows),
        notes=("Seen from the tail, roll 0 up. Infill counts as print; walls are as the sheet prints them.",),
    )


def station_words(readiness: Readiness, cut: StationCut) -> str:
    """Say what the picture of it shows, for those who cannot see it."""
    shown, cavity = Shown(us_units=readiness.us_units), cut.inside.cavity
    met = ", ".join(_numbered(cut)) or "nothing"
    parts = ", ".join(part.name for part, _ in _printed(cut)) or "no part"
    plates = sum(len(fin_cuts(fin, cut.station_m)) for fin in readiness.shape.fins)
    return (
        f"Cut across at {shown.length(cut.station_m)} from the tip, seen from the tail, through {parts}"
        f"{f' and {plates} fins' if plates else ''}. The outline holds"
        f" {shown.plain(float(cavity.skin[cut.row].area), Dimension.AREA)}. Inside: {met}."
    )


def _numbered(cut: StationCut) -> Iterator[str]:
    """Give each name once, with the numbers that stand for it in the picture."""
    named: dict[str, list[MetThing]] = {}
    for one in cut.met:
        named.setdefault(called(one.thing), []).append(one)
    return (f"{name} ({', '.join(str(one.number) for one in those)})" for name, those in named.items())


def _facts(readiness: Readiness, cut: StationCut, shown: Shown) -> Iterator[tuple[str, str]]:
    cavity = cut.inside.cavity
    skin = cavity.skin[cut.row]
    printed = float(sum(region.area for _, region in _printed(cut)))
    yield "area within the outline", shown.plain(float(skin.area), Dimension.AREA)
    yield "length of the outline", shown.length(float(skin.length))
    yield "print, infill as full", shown.plain(printed, Dimension.AREA)
    yield "room that no print fills", shown.plain(float(cavity.free[cut.row].area), Dimension.AREA)
    yield "least reserve here, all cases", _reserve_words(readiness, cut.station_m, shown)


def _reserve_words(readiness: Readiness, station_m: float, shown: Shown) -> str:
    """Say the worst reserve at the judged station nearest to this one; beyond the judged ends none."""
    found = (readiness.strength_study or readiness.strength).by_station
    at = None if found is None else _judged(found, station_m)
    if found is None or at is None or math.isnan(found.reserves[at]):
        return NOT_KNOWN
    mode, case = found.modes[at], found.cases[at]
    by = "" if mode is None else f": {mode_words(mode)}, {case_words(case)}"
    needed = Limits(own=readiness.own_limits)["reserve"].value
    where = shown.length(float(found.stations_m[at]))
    return f"{found.reserves[at]:.2f} of {needed:g} needed, judged at {where}{by}"


def _judged(found: StationReserves, station_m: float) -> int | None:
    stations = found.stations_m
    inside = len(stations) and stations.min() - _SLACK_M <= station_m <= stations.max() + _SLACK_M
    return int(np.abs(stations - station_m).argmin()) if inside else None


def _printed(cut: StationCut) -> list[tuple[Printed, Any]]:
    """Parts that the plane meets, each with the region of its print."""
    cavity = cut.inside.cavity
    pairs = ((part, row[cut.row]) for part, row in zip(cavity.parts, cavity.printed, strict=True))
    return [(part, region) for part, region in pairs if not region.is_empty]


def _prints(cut: StationCut, shown: Shown) -> Table:
    return Table(
        title="Print there",
        columns=("part", "area, infill as full", "wall as printed", "infill"),
        rows=tuple(
            (
                part.name,
                shown.plain(float(region.area), Dimension.AREA),
                shown.fine(part.walls.wall_m) if part.walls else "solid as drawn",
                f"{part.walls.infill:.0%}" if part.walls else "",
            )
            for part, region in _printed(cut)
        ),
        numbers=(1, 2, 3),
    )


def _carried(readiness: Readiness, cut: StationCut, shown: Shown) -> Table:
    cases = (readiness.strength_study or readiness.strength).cases
    rows = [row for case in cases if (row := _loads(case, cut.station_m, shown))]
    return Table(
        title="What it carries there",
        columns=("load case", "axial, compression positive", "shear", "bending"),
        rows=tuple(rows),
        numbers=(1, 2, 3),
    )


def _loads(case: CaseLoads, station_m: float, shown: Shown) -> tuple[str, ...] | None:
    """Tell the loads between the case's own stations; ``None`` where it loads another half."""
    if not case.stations_m[0] - _SLACK_M <= station_m <= case.stations_m[-1] + _SLACK_M:
        return None

    def there(values: NDArray[np.float64]) -> float:
        return round(float(np.interp(station_m, case.stations_m, values)), 2)

    return (
        case_words(case.case),
        shown.plain(there(case.axial_n), Dimension.FORCE),
        shown.plain(there(case.shear_n), Dimension.FORCE),
        moment_words(there(case.bending_n_m), shown),
    )


def _met(cut: StationCut, shown: Shown) -> Table:
    """List what stands there, sets of equal things once."""
    rows: dict[tuple[str, ...], list[MetThing]] = {}
    for one in cut.met:
        rows.setdefault(_met_row(one, shown), []).append(one)
    return Table(
        title="What stands there",
        columns=("number", "thing", "kind", "size across", "area of each", "off the axis", "at roll"),
        rows=tuple((_numbers(those), *row, _rolls(those)) for row, those in rows.items()),
        numbers=(4, 5),
    )


def _met_row(one: MetThing, shown: Shown) -> tuple[str, ...]:
    off = _off(one)
    return (
        called(one.thing),
        str(one.thing.kind),
        across_words(one.thing, shown),
        shown.plain(float(one.region.area), Dimension.AREA),
        shown.length(off) if off > _ON_AXIS_M else "0",
    )


def _off(one: MetThing) -> float:
    return math.hypot(one.region.centroid.x, one.region.centroid.y)


def _rolls(those: Sequence[MetThing]) -> str:
    """Roll angles of things beside the axis."""
    middles = [one.region.centroid for one in those if _off(one) > _ON_AXIS_M]
    return ", ".join(f"{round(math.degrees(math.atan2(at.y, at.x))) % 360}°" for at in middles)


def _numbers(those: Sequence[MetThing]) -> str:
    """Numbers in the picture; equal things are numbered in a row."""
    first, last = those[0].number, those[-1].number
    return str(first) if len(those) == 1 else f"{first} to {last}"
