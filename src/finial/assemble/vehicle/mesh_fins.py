"""Fins that are part of a mesh: off the body, onto the list of fins."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from finial.aero.fins.fin_set import FinSet
from finial.files.sheet_body import FinEntry
from finial.shape.bodies import signed_volumes_m3
from finial.shape.fin_split import MeshFin, split_fins
from finial.shape.repair import Repaired
from finial.shape.skin import Skin
from finial.shape.thin_parts import bare_plates

_NO_VOLUME_M3 = 1e-12
_THICK = 0.25
"""Share of the body's width up to which something may still look like a fin [-]."""
_SAME_ROLL_RAD = np.radians(12.0)


def without_fins(
    skin: Skin, meshes: Sequence[Repaired], given: Sequence[FinEntry]
) -> tuple[Skin, tuple[FinSet, ...]]:
    """Skin of the body alone, and the fins its meshes carry, but for those the sheet gives too.

    Plates without thickness are looked for where a mesh was mended or holds bodies without
    volume. What happened stands in the skin's notes.
    """
    doubtful = [part.mesh for part in meshes if part.notes or _has_empty_bodies(part)]
    plates = bare_plates(doubtful, skin.sections)
    split = split_fins(skin, plates)
    if given and not split.fins:
        # Thicker than fins usually are, but the sheet says that there are fins in this place.
        thick = split_fins(skin, plates, thinnest_body=_THICK)
        if any(_same_place(fin, known) for fin in thick.fins for known in given):
            split = thick
    new = [fin for fin in split.fins if not any(_same_place(fin, known) for known in given)]
    notes = list(split.notes)
    if new:
        notes.append(
            "strength and flutter of fins in a mesh are not computed: give them under [[fin]] for that"
        )
    if len(new) < len(split.fins):
        notes.append(
            "fins that the sheet gives under [[fin]] stand in the mesh too: they count once, as given"
        )
    if not split.fins and not given:
        notes += _thick_fins(skin)
    body = replace(split.body, notes=(*split.body.notes, *notes))
    return body, tuple(_fin_set(fin, number) for number, fin in enumerate(new, start=1))


def _thick_fins(skin: Skin) -> list[str]:
    """Say when something looks like fins but is too thick to tell from the body."""
    thick = split_fins(skin, thinnest_body=_THICK).fins
    if not thick:
        return []
    count, most = sum(fin.count for fin in thick), max(fin.thickness_m for fin in thick)
    return [
        f"{count} parts that stand out like fins, up to {1e3 * most:.0f} mm thick, were left in the body, "
        "which puts its centre of pressure in the wrong place: if they are fins, give them under [[fin]]"
    ]


def _has_empty_bodies(part: Repaired) -> bool:
    return bool(np.abs(signed_volumes_m3(part.mesh, part.body_of_face)).min() < _NO_VOLUME_M3)


def _same_place(fin: MeshFin, known: FinEntry) -> bool:
    """Whether a fin of the mesh stands where a set of the sheet has one."""
    start, length = known.station.value, max(along.value for along, _ in known.outline)
    overlap = fin.station_m < start + length and start < fin.station_m + float(fin.outline_m[:, 0].max())
    turns = 2.0 * np.pi * np.arange(known.count) / known.count
    off = np.angle(np.exp(1j * (fin.first_at_rad - known.first_at.value - turns)))
    return bool(overlap and np.abs(off).min() < _SAME_ROLL_RAD)


def _fin_set(fin: MeshFin, number: int) -> FinSet:
    return FinSet(
        name="fins in the mesh" if number == 1 else f"fins in the mesh, set {number}",
        outline_m=fin.outline_m,
        station_m=fin.station_m,
        root_radius_m=fin.root_radius_m,
        count=fin.count,
        first_at_rad=fin.first_at_rad,
        thickness_m=fin.thickness_m,
    )
