"""Jigs for the fins of the sheet, as pieces to print."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from finial.assemble.prints.barred import root_span
from finial.assemble.prints.settings import clearance_m
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.printing.frames import cornered
from finial.printing.jig import JigFins, fin_jig
from finial.printing.sound import Sound, sound
from finial.shape.measures import section_at

_HALF_M = 10e-3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PrintedJig:
    """A jig, ready to print."""

    fins: str
    station_m: float
    """Middle of where its collar stands [m]."""
    sound: Sound


def fin_jigs(vehicle: LoadedVehicle) -> Iterator[PrintedJig]:
    """Yield a jig for each set of fins of the sheet: its collar stands amid their roots."""
    play = clearance_m(vehicle)
    for fin in fin_sets(vehicle):
        fore, aft = root_span(fin)
        middle = min((fore + aft) / 2, vehicle.skin.length_m)
        sections = [
            section_at(vehicle.skin, float(np.clip(middle + by, 0.0, vehicle.skin.length_m)))
            for by in (-_HALF_M, 0.0, _HALF_M)
        ]
        outlines = [loop for section in sections for loop in section.loops]
        fins = JigFins(
            count=fin.count,
            first_at_rad=fin.first_at_rad,
            thickness_m=fin.thickness_m,
            offset_m=fin.offset_m,
        )
        jig = fin_jig(outlines, fins, play).scale((1e3, 1e3, 1e3))
        yield PrintedJig(
            fins=fin.name,
            station_m=middle,
            sound=sound(cornered(jig), f"jig of {fin.name}"),
        )
