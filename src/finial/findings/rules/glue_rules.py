"""Does each glue stick to what it joins, and does it stand the blow of a charge?"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from finial.assemble.vehicle.materials import sheet_material
from finial.files.sheet import Sheet
from finial.files.sheet_body import FinEntry, ItemEntry
from finial.findings.finding import Finding, Fix, Subject, Verdict
from finial.findings.rule import Rule
from finial.materials.glue import glue
from finial.materials.material import Material

FITS = Rule(
    key="glue-sticks",
    stage="strength",
    source="the table of glues: common practice and makers' advice, from memory",
    safety=True,
)
Spans = Mapping[str, tuple[float, float]]
"""Stations at which each part begins and ends [m], by name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Joint:
    """One glued joint: what is glued, with what, to what, and whether it takes blows."""

    name: str
    station_m: float
    glue: str
    stuffs: tuple[Material, ...]
    blows: bool


def glue_findings(sheet: Sheet, spans_m: Spans) -> list[Finding]:
    """Judge the glue of every plate, fin and motor tube by both sides that it joins."""
    failing = [found for joint in _joints(sheet, spans_m) if (found := _judged(joint)).fails]
    return failing or [FITS.holds(Verdict.GO, limit="all")]


def _judged(joint: _Joint) -> Finding:
    with_it = glue(joint.glue)
    sticks, stands = with_it.takes(joint.stuffs), with_it.shock or not joint.blows
    facts = {"glue": joint.glue, "on": " and ".join(dict.fromkeys(stuff.name for stuff in joint.stuffs))}
    return FITS.holds(
        Verdict.GO if sticks and stands else Verdict.NOT_KNOWN,
        subject=Subject(name=joint.name, station_m=joint.station_m),
        facts=facts,
        fixes=(Fix(key="stands" if sticks else "sticks", facts=facts),),
    )


def _joints(sheet: Sheet, spans_m: Spans) -> Iterator[_Joint]:
    for item in sheet.item:
        if item.glue is not None and item.holds is None:
            yield _of_item(sheet, item, item.glue, spans_m)
    for fin in sheet.fin:
        if fin.fixing is not None and fin.fixing.glue is not None:
            yield _of_fin(sheet, fin, spans_m)
    if sheet.motor.tube is not None:
        at = sheet.motor.nozzle_station.value - sheet.motor.tube.length.value / 2
        stuffs = _seats(sheet, at, spans_m)
        yield _Joint(name="motor tube", station_m=at, glue=sheet.motor.tube.glue, stuffs=stuffs, blows=False)


def _of_item(sheet: Sheet, item: ItemEntry, name: str, spans_m: Spans) -> _Joint:
    own = (sheet_material(sheet, item.material),) if item.material else ()
    at = item.station.value
    return _Joint(
        name=item.name, station_m=at, glue=name, stuffs=(*own, *_seats(sheet, at, spans_m)), blows=True
    )


def _of_fin(sheet: Sheet, fin: FinEntry, spans_m: Spans) -> _Joint:
    assert fin.fixing is not None
    assert fin.fixing.glue is not None
    root = [along.value for along, outward in fin.outline if outward.value <= 0.0]
    at = fin.station.value + sum(root) / max(len(root), 1)
    wall = fin.fixing.material
    under = (sheet_material(sheet, wall),) if wall else _seats(sheet, at, spans_m)
    stuffs = (sheet_material(sheet, fin.material), *under)
    return _Joint(name=fin.name, station_m=at, glue=fin.fixing.glue, stuffs=stuffs, blows=True)


def _seats(sheet: Sheet, station_m: float, spans_m: Spans) -> tuple[Material, ...]:
    """Materials of the parts that stand at a station; two where one reaches into the other."""
    return tuple(
        sheet_material(sheet, part.material)
        for part in sheet.part
        if spans_m[part.name][0] <= station_m <= spans_m[part.name][1]
    )
