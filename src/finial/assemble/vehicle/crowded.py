"""Fins and rods that stand in one another, and wires held at a point beside their fin."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from finial.assemble.vehicle.rods import rod_places
from finial.files.fields import across_m
from finial.files.sheet_body import FinEntry, RodEntry
from finial.structure.rods.threads import thread

if TYPE_CHECKING:
    from shapely.geometry import Polygon

_ONE_PLACE_RAD = 0.01
"""Fins nearer in roll than this stand in one another: at 100 mm off the axis that is 1 mm [rad]; chosen."""
_SHARED_M2 = 1e-6
_EDGE_M = 0.5e-3
"""How far beside the drawn edge a wire's hole may be measured [m]; chosen."""


def fins_in_one_place(fins: Sequence[FinEntry]) -> Iterator[tuple[int, int]]:
    """Numbers of every two sets of fins, one of whose plates goes through one of the other's."""
    for (one, first), (other, second) in combinations(enumerate(fins), 2):
        near = across_m(first.offset) == across_m(second.offset) and _share_a_roll(first, second)
        if near and _drawn(first).intersection(_drawn(second)).area > _SHARED_M2:
            yield one, other


def _share_a_roll(first: FinEntry, second: FinEntry) -> bool:
    turns = np.subtract.outer(_rolls_rad(first), _rolls_rad(second))
    return bool(np.any(np.abs(np.angle(np.exp(1j * turns))) < _ONE_PLACE_RAD))


def _rolls_rad(fin: FinEntry) -> np.ndarray:
    return fin.first_at.value + 2 * np.pi * np.arange(fin.count) / fin.count


def _drawn(fin: FinEntry) -> "Polygon":
    """One plate by station and by distance outward of its root."""
    from shapely.geometry import Polygon

    return Polygon([(fin.station.value + along.value, outward.value) for along, outward in fin.outline])


def stays_off_their_fin(fin: FinEntry) -> Iterator[int]:
    """Numbers of the stays whose point lies beside the plate that they are to hold."""
    from shapely.geometry import Point

    plate = _drawn(fin)
    for number, stay in enumerate(fin.stays):
        held = Point(fin.station.value + stay.along.value, stay.outward.value)
        if plate.distance(held) > _EDGE_M:
            yield number


def rods_in_one_place(rods: Sequence[RodEntry]) -> Iterator[tuple[int, int]]:
    """Numbers of every two sets of rods, one of which runs through one of the other."""
    for (one, first), (other, second) in combinations(enumerate(rods), 2):
        fore = max(first.stations[0].value, second.stations[0].value)
        aft = min(first.stations[1].value, second.stations[1].value)
        apart = rod_places(first)[:, None] - rod_places(second)[None]
        touch_m = (thread(first.thread).diameter_m + thread(second.thread).diameter_m) / 2
        if fore < aft and bool(np.any(np.linalg.norm(apart, axis=2) < touch_m)):
            yield one, other
