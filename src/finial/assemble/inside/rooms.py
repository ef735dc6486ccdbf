"""Rooms of bays, walls as drawn, fin roots on the skin, joints between parts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from finial.assemble.inside.results import BayRoom, JointCheck, RootCheck, WallCheck
from finial.assemble.vehicle.bays import bay_contents
from finial.assemble.vehicle.rods import rod_name
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept
from finial.files.sheet import Sheet
from finial.files.sheet_body import FinEntry
from finial.files.sheet_recovery import BayEntry, CanopyEntry
from finial.inside.cavity import Cavity
from finial.inside.roots import RootGap, RootLine, root_gap
from finial.inside.volumes import tube_room
from finial.inside.walls import DrawnWall
from finial.recovery.charges.powder import free_bay_volume
from finial.shape.fin_set import FinSet
from finial.shape.skin import Skin

FILLET_BRIDGES_M = 1e-3
"""Space under a root that glue still fills [m]; common practice."""
_SEAM_M = 5e-3
"""How far beside a seam a joint still counts as that seam [m]; common practice."""
_SKIN_SPREAD_M = 0.2e-3
"""How far the skin is known between two sections [m]: half a usual layer, and the facets."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Standing:
    """An outside part: where it stands, and whether glue or dowels tie it to the one behind it."""

    name: str
    span_m: tuple[float, float]
    glued: bool
    dowelled: bool


def bay_rooms(sheet: Sheet) -> tuple[BayRoom, ...]:
    """Every bay: empty, less what lies in it, and as the sheet says."""
    return tuple(_bay(sheet, bay) for bay in sheet.recovery.bay)


def _bay(sheet: Sheet, bay: BayEntry) -> BayRoom:
    diameter = bay.diameter.estimate(KnownBy.MEASURED)
    fore, aft = bay.stations
    length = exact(aft.value - fore.value, known_by=KnownBy.MEASURED)
    contents = bay_contents(sheet, bay)
    try:
        free = free_bay_volume(diameter, length, contents)
    except OutsideRange:
        free = None
    beside = (
        (canopy.name, _beyond(canopy, fore.value, aft.value))
        for canopy in sheet.recovery.canopy
        if canopy.bay == bay.name
    )
    return BayRoom(
        bay=bay.name,
        empty=tube_room(diameter, length),
        free=free,
        said=bay.free_volume.estimate(KnownBy.MEASURED) if bay.free_volume else None,
        mouth_m=(bay.mouth or bay.diameter).value,
        beside=tuple((name, by) for name, by in beside if by > 0.0),
    )


def _beyond(canopy: CanopyEntry, fore_m: float, aft_m: float) -> float:
    """How far a pack lies beyond its bay [m]: its ends where its length is given, else its middle."""
    half = canopy.packed_length.value / 2 if canopy.packed_length else 0.0
    station = canopy.station.value
    return max(fore_m - (station - half), station + half - aft_m)


def wall_checks(sheet: Sheet, drawn: tuple[DrawnWall, ...]) -> tuple[WallCheck, ...]:
    """Walls of the hollow printed parts, as drawn and as the sheet says."""
    said = {part.name: part.print.wall for part in sheet.part if part.print is not None}
    return tuple(
        WallCheck(
            part=one.part,
            drawn=exact(one.thickness_m, known_by=KnownBy.MEASURED, method="sections of the mesh"),
            said_m=said[one.part].value - said[one.part].tolerance,
            station_m=one.station_m,
        )
        for one in drawn
        if one.part in said
    )


def root_checks(sheet: Sheet, fins: tuple[FinSet, ...], skin: Skin) -> tuple[RootCheck, ...]:
    """Roots of the sheet's fins on the real skin."""
    return tuple(_root(fin, given, skin) for fin, given in zip(fins, sheet.fin, strict=True))


def _root(fin: FinSet, given: FinEntry, skin: Skin) -> RootCheck:
    found = _root_gap(
        skin,
        RootLine(
            name=fin.name,
            stations_m=(fin.station_m + float(fin.root_m.min()), fin.station_m + float(fin.root_m.max())),
            root_m=fin.root_radius_m,
            rolls_rad=fin.rolls_rad,
            offset_m=fin.offset_m,
        ),
    )
    reaches = FILLET_BRIDGES_M
    if given.fixing and given.fixing.kind in ("tab", "slot") and given.fixing.depth:
        # What reaches into the wall still holds where the root stands off it.
        reaches = max(reaches, given.fixing.depth.value / 2)
    gap = Estimate(
        value=found.gap_m,
        low=found.gap_m - _SKIN_SPREAD_M,
        high=found.gap_m + _SKIN_SPREAD_M,
        known_by=KnownBy.COMPUTED,
        method="root line against the sections of the skin",
    )
    return RootCheck(fins=fin.name, gap=gap, station_m=found.station_m, holds_m=reaches)


@kept(64)
def _root_gap(skin: Skin, line: RootLine) -> RootGap:
    return root_gap(skin, line)


def joint_checks(sheet: Sheet, cavity: Cavity) -> tuple[JointCheck, ...]:
    """Whether each joint lies between two parts that nothing ties together."""
    return tuple(_joints(sheet, cavity))


def _joints(sheet: Sheet, cavity: Cavity) -> Iterator[JointCheck]:
    outside = [
        _Standing(name=entry.name, span_m=part.span_m, glued=entry.glued, dowelled=entry.dowels is not None)
        for part, entry in zip(cavity.parts, sheet.part, strict=True)
        if entry.outside
    ]
    for joint in sheet.recovery.joint:
        station = joint.station.value
        ends = [(abs(end - station), one.span_m) for one in outside for end in one.span_m]
        inner = [one for one in ends if one[1] != (0.0, cavity.length_m)] or ends
        off = round(min(one[0] for one in inner), 6)
        ties = {
            rod_name(rod)
            for rod in sheet.rod
            if rod.stations[0].value < station - 1e-3 and rod.stations[1].value > station + 1e-3
        }
        ties |= {
            f"dowels of {one.name}" for one in outside if one.dowelled and _ends_at(one, outside, station)
        }
        yield JointCheck(
            joint=joint.name,
            station_m=station,
            off=Estimate(
                value=off,
                low=max(off - joint.station.tolerance, 0.0),
                high=off + joint.station.tolerance,
                known_by=KnownBy.MEASURED,
                method="ends of the parts as drawn",
            ),
            glued=any(one.glued and _ends_at(one, outside, station) for one in outside),
            ties=tuple(sorted(ties)),
        )


def _ends_at(part: _Standing, outside: Sequence[_Standing], station_m: float) -> bool:
    """Whether a part meets the one behind it where the joint is, a shoulder between them or not."""
    behind = [one for one in outside if one.span_m[0] > part.span_m[0] + 1e-6]
    if not behind:
        return False
    fore = min((one.span_m[0] for one in behind), key=lambda start: abs(start - part.span_m[1]))
    seam = sorted((fore, part.span_m[1]))
    return seam[0] - _SEAM_M <= station_m <= seam[1] + _SEAM_M
