"""Rail and buttons of the sheet beside the vehicle."""

import math

from finial.assemble.inside.results import GuideCheck, Size, Taken
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept
from finial.files.sheet_body import GuideEntry
from finial.inside.rail import (
    ButtonFoot,
    RailGap,
    RailLine,
    RailPlate,
    body_gap,
    button_foot,
    button_roots,
    fin_gap,
    side_radius,
)
from finial.inside.usual import BUTTON_M, RAIL_GAP_M, RAIL_WIDTH_M
from finial.shape.fin_set import FinSet
from finial.shape.measures import section_at
from finial.shape.skin import Skin

_FAR_M = 1.0
"""Farther than this nothing is beside the rail [m]."""


def guide_check(
    vehicle: LoadedVehicle, fins: tuple[FinSet, ...], balance: Estimate
) -> tuple[GuideCheck | None, tuple[Taken, ...]]:
    """Judge the rail against body, fins and balance point, and say what was taken; none without buttons.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    fins : tuple of FinSet
        All its fins.
    balance : Estimate
        Balance point at lift-off [m].

    Returns
    -------
    check : GuideCheck or None
        What the rail meets.
    taken : tuple of Taken
        Sizes that the sheet does not give.
    """
    guide, skin = vehicle.sheet.guide, vehicle.skin
    if guide is None:
        return None, ()
    line, taken = rail_line(guide, skin)
    buttons = sorted(button.value for button in guide.buttons)
    across = guide.across.value if guide.across else BUTTON_M
    ends = vehicle.sheet.motor.nozzle_station.value - vehicle.sheet.launch.rail_length.value
    plates = [plate for fin in fins for plate in _plates(fin)]
    body, beside = _body_gap(skin, line, ends), fin_gap(plates, line, ends)
    roots = button_roots(plates, buttons, line, across)
    check = GuideCheck(
        rail=line,
        body=_known(body, guide),
        body_station_m=body.station_m,
        fins=near_rail(beside),
        fins_name=beside.fins,
        roots=near_rail(roots),
        roots_name=roots.fins,
        roots_station_m=roots.station_m,
        spacing_m=buttons[-1] - buttons[0],
        fore_m=buttons[0],
        aft_m=buttons[-1],
        balance=balance,
        button_share=_button_share(guide),
        in_the_air_m=tuple(one for one in buttons if not has_skin(guide, skin, one)),
        across_m=across,
        foot=_worst_foot(skin, line, tuple(one for one in buttons if has_skin(guide, skin, one)), across),
        reach=_reach(guide, skin, line.face_m),
    )
    if guide.across is None:
        taken = (*taken, _taken(Size.BUTTON, BUTTON_M))
    return check, taken


def _button_share(guide: GuideEntry) -> Estimate | None:
    """Diameter of a button over the rail's width, where at least one of the two was measured."""
    if guide.across is None and guide.rail_width is None:
        return None
    across = guide.across.value if guide.across else BUTTON_M
    width = guide.rail_width.value if guide.rail_width else RAIL_WIDTH_M
    return exact(across / width, known_by=KnownBy.MEASURED, method="sizes in the sheet")


@kept(16)
def _worst_foot(
    skin: Skin, line: RailLine, buttons_m: tuple[float, ...], across_m: float
) -> ButtonFoot | None:
    feet = (button_foot(skin, line, min(one, skin.length_m), across_m) for one in buttons_m)
    return max(feet, key=lambda foot: max(foot.rise_m, foot.drop_m), default=None)


def _reach(guide: GuideEntry, skin: Skin, face_m: float) -> Estimate | None:
    """How deep the button on the outermost skin reaches behind the rail's face [m]."""
    outs = [
        _out(guide, skin, button.value) for button in guide.buttons if has_skin(guide, skin, button.value)
    ]
    if guide.height is None or not outs:
        return None
    tolerance = guide.height.tolerance + (guide.rail_from_axis.tolerance if guide.rail_from_axis else 0.0)
    deep = max(outs) + guide.height.value - face_m
    return Estimate(
        value=deep,
        low=deep - tolerance,
        high=deep + tolerance,
        known_by=KnownBy.MEASURED if guide.rail_from_axis else KnownBy.ASSUMED,
        method="height of a button past the rail's face",
    )


@kept(16)
def _body_gap(skin: Skin, line: RailLine, from_m: float) -> RailGap:
    return body_gap(skin, line, from_m)


def rail_line(guide: GuideEntry, skin: Skin) -> tuple[RailLine, tuple[Taken, ...]]:
    """Where the rail runs: as the sheet says, or a usual distance off the skin at the buttons."""
    taken: list[Taken] = []
    width = guide.rail_width.value if guide.rail_width else RAIL_WIDTH_M
    if guide.rail_width is None:
        taken.append(_taken(Size.RAIL_WIDTH, width))
    if guide.rail_from_axis:
        face = guide.rail_from_axis.value
    else:
        face = max(_out(guide, skin, button.value) for button in guide.buttons) + RAIL_GAP_M
        taken.append(_taken(Size.RAIL, face))
    line = RailLine(roll_rad=guide.at.value, face_m=face, width_m=width, aside_m=guide.aside.value)
    return line, tuple(taken)


def _out(guide: GuideEntry, skin: Skin, station_m: float) -> float:
    """Distance of the skin under a button from the axis [m]; 0 where there is none."""
    found = skin_beside(guide, skin, station_m)
    return found if math.isfinite(found) else 0.0


def has_skin(guide: GuideEntry, skin: Skin, station_m: float) -> bool:
    """Whether a button has skin all behind it: over tip or base, or between two towers, it has none."""
    half = (guide.across.value if guide.across else BUTTON_M) / 2
    past = station_m < half or station_m > skin.length_m - half
    return not past and math.isfinite(skin_beside(guide, skin, station_m))


def skin_beside(guide: GuideEntry, skin: Skin, station_m: float) -> float:
    """Distance of the skin under a button at a station [m] from the axis [m]; infinite without any."""
    across = guide.across.value if guide.across else BUTTON_M
    return _skin_beside(skin, station_m, guide.at.value, across, guide.aside.value)


@kept(64)
def _skin_beside(skin: Skin, station_m: float, roll_rad: float, across_m: float, aside_m: float) -> float:
    return side_radius(section_at(skin, min(station_m, skin.length_m)), roll_rad, across_m, aside_m)


def _plates(fin: FinSet) -> list[RailPlate]:
    along = fin.station_m + fin.outline_m[:, 0]
    return [
        RailPlate(
            name=fin.name,
            stations_m=(float(along.min()), float(along.max())),
            roll_rad=roll,
            root_m=fin.root_radius_m,
            tip_m=fin.root_radius_m + float(fin.outline_m[:, 1].max()),
            thickness_m=fin.thickness_m,
            offset_m=fin.offset_m,
        )
        for roll in fin.rolls_rad
    ]


def _known(gap: RailGap, guide: GuideEntry) -> Estimate:
    """Assumed where the sheet does not say where the rail runs, but its sign is then the shape's own."""
    tolerance = guide.rail_from_axis.tolerance if guide.rail_from_axis else 0.0
    value = min(gap.gap_m, _FAR_M)
    return Estimate(
        value=value,
        low=value - tolerance,
        high=value + tolerance,
        known_by=KnownBy.MEASURED if guide.rail_from_axis else KnownBy.ASSUMED,
        method="outline beside the rail",
    )


def near_rail(gap: RailGap) -> Estimate | None:
    """Gap of what stands near the rail [m]; ``None`` of what is far off."""
    if gap.gap_m > _FAR_M:
        return None
    return exact(gap.gap_m, known_by=KnownBy.COMPUTED, method="plates beside the rail")


def _taken(size: Size, value_m: float) -> Taken:
    return Taken(thing="rail", size=size, value=exact(value_m, known_by=KnownBy.ASSUMED))
