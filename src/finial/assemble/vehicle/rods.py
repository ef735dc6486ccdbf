"""Rods of the sheet: where each stands, and which sets work as one."""

import numpy as np
from numpy.typing import NDArray

from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.sheet_body import RodEntry
from finial.structure.walls.section import rod_circle


def rod_places(rod: RodEntry) -> NDArray[np.float64]:
    """Places of a set's rods off the axis (y, z) [m], shape (n, 2): on their circle, or as given.

    Raises
    ------
    OutsideRange
        If several rods stand on a circle of no size.
    """
    if rod.places:
        return np.array([[along.value, across.value] for along, across in rod.places])
    assert rod.on_circle is not None, "the sheet was read without a place for its rods"
    return rod_circle(rod_count(rod), rod.on_circle.value, rod.first_at.value)


def rod_count(rod: RodEntry) -> int:
    """How many rods a set has."""
    return len(rod.places) or rod.count or 0


def rod_name(rod: RodEntry) -> str:
    """Name of a set: the sheet's, or what it is."""
    return rod.name or f"{rod_count(rod)} rods {rod.thread} {rod.material}"


def rods_of(sheet: Sheet) -> tuple[RodEntry, ...]:
    """Return the sets of rods, those that work as one put together: two rows of two are one of four."""
    groups: dict[tuple[object, ...], list[RodEntry]] = {}
    for rod in sheet.rod:
        groups.setdefault((_work(rod), tuple(_si(end) for end in rod.stations)), []).append(rod)
    return tuple(_together(rods) for rods in groups.values())


def crossing(sheet: Sheet, station_m: float) -> tuple[RodEntry, ...]:
    """Return the sets of rods that cross a station [m], those that work as one put together."""
    groups: dict[tuple[object, ...], list[RodEntry]] = {}
    for rod in sheet.rod:
        if rod.stations[0].value <= station_m <= rod.stations[1].value:
            groups.setdefault(_work(rod), []).append(rod)
    return tuple(_together(rods) for rods in groups.values())


def _together(rods: list[RodEntry]) -> RodEntry:
    """One set with the places of all; a set alone stays as it is."""
    if len(rods) == 1:
        return rods[0]
    places = [
        tuple(Quantity(value=float(across), text=f"{1e3 * across:.3f} mm") for across in place)
        for rod in rods
        for place in rod_places(rod)
    ]
    return rods[0].model_copy(
        update={"name": None, "count": None, "on_circle": None, "places": tuple(places)}
    )


def _work(rod: RodEntry) -> tuple[object, ...]:
    """Return what must be equal for sets to share loads by their places alone."""
    plate = (rod.bears_on.thickness.value, rod.bears_on.material) if rod.bears_on else None
    supports = tuple(one.value for one in rod.supports)
    return rod.thread, rod.material, _si(rod.preload), _si(rod.slip), supports, plate, _si(rod.washer)


def _si(given: Quantity | None) -> tuple[float, float] | None:
    return None if given is None else (given.value, given.tolerance)
