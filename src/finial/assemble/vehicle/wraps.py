"""What is laid round the body or beside it true to scale: strips with holes, and the outline of the whole."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.templates import Corners
from finial.core.frames import evenly_round
from finial.files.sheet_recovery import PortEntry
from finial.shape.around import along_outline
from finial.shape.measures import section_at
from finial.structure.rods.threads import thread


@dataclass(frozen=True, slots=True, kw_only=True)
class WrapMark:
    """Something to drill or draw on the body."""

    name: str
    roll_rad: float
    hole_m: float
    """Diameter of what goes in; 0 for a line along the body [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrapTemplate:
    """A strip laid round the body at a station, with everything that stands there."""

    name: str
    station_m: float
    girth_m: float
    """Round the outline there [m]."""
    along_m: tuple[float, ...]
    """Where each mark lies on the strip, from roll angle 0 on [m]."""
    marks: tuple[WrapMark, ...]


def wrap_templates(vehicle: LoadedVehicle) -> tuple[WrapTemplate, ...]:
    """One for each station that is drilled from outside, for pins, ports, rail buttons; and for fins."""
    return tuple(_wraps(vehicle))


def _wraps(vehicle: LoadedVehicle) -> Iterator[WrapTemplate]:
    sheet = vehicle.sheet
    for joint in sheet.recovery.joint:
        if joint.pins:
            marks = _evenly(joint.pins.screw, joint.pins.count, 0.0, 0.0)
            yield _wrap(vehicle, joint.name, joint.station.value, marks)
    for port in sheet.electronics.port:
        yield _wrap(vehicle, port.name, port.station.value, _holes(port))
    guide = sheet.guide
    for button in guide.buttons if guide else ():
        across = thread(guide.screw).diameter_m if guide and guide.screw else 0.0
        mark = WrapMark(name="button", roll_rad=guide.at.value if guide else 0.0, hole_m=across)
        yield _wrap(vehicle, "rail button", button.value, (mark,))
    for fin in fin_sets(vehicle):
        if fin.root_m.size and fin.offset_m == (0.0, 0.0):
            at = fin.station_m + float(fin.root_m.mean())
            yield _wrap(vehicle, fin.name, at, _evenly("fin", fin.count, fin.first_at_rad, 0.0))


def _holes(port: PortEntry) -> tuple[WrapMark, ...]:
    """Holes of a port where the sheet puts them; evenly round where it does not say."""
    if port.at:
        places = [angle.value for angle in port.at]
        return tuple(
            WrapMark(name="port", roll_rad=roll, hole_m=hole.value)
            for roll, hole in zip(places, port.holes, strict=True)
        )
    even = _evenly("port", len(port.holes), 0.0, 0.0)
    return tuple(replace(one, hole_m=hole.value) for one, hole in zip(even, port.holes, strict=True))


def _evenly(name: str, count: int, first_rad: float, hole_m: float) -> tuple[WrapMark, ...]:
    return tuple(WrapMark(name=name, roll_rad=roll, hole_m=hole_m) for roll in evenly_round(count, first_rad))


def _wrap(vehicle: LoadedVehicle, name: str, station_m: float, marks: tuple[WrapMark, ...]) -> WrapTemplate:
    section = section_at(vehicle.skin, min(station_m, vehicle.skin.length_m))
    loop = max(section.loops, key=lambda one: float(np.abs(one).max()))
    girth = float(np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1).sum())
    return WrapTemplate(
        name=name,
        station_m=station_m,
        girth_m=girth,
        along_m=tuple(along_outline(loop, mark.roll_rad) for mark in marks),
        marks=marks,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineTemplate:
    """The whole vehicle from the side with its dimensions."""

    name: str
    length_m: float
    side_m: Corners
    """Aft of the tip, and body y [m]."""
    parts: tuple[tuple[str, float, float], ...]
    """Name, and the stations each reaches from and to [m]."""


def outline_template(vehicle: LoadedVehicle) -> OutlineTemplate:
    """Side view of the skin, and where each outside part begins and ends."""
    cuts = [
        (
            one.station_m,
            float(min(loop[:, 0].min() for loop in one.loops)),
            float(max(loop[:, 0].max() for loop in one.loops)),
        )
        for one in vehicle.skin.sections
        if one.loops
    ]
    upper = [(station, high) for station, _, high in cuts]
    lower = [(station, low) for station, low, _ in reversed(cuts)]
    return OutlineTemplate(
        name=vehicle.sheet.vehicle.name,
        length_m=vehicle.skin.length_m,
        side_m=tuple(upper + lower),
        parts=tuple((part.spec.name, *part.span_m) for part in vehicle.parts if part.spec.outside),
    )
