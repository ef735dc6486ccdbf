"""Fins against ballast against apogee: every fin gets the ballast it needs, and the best are kept."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from finial.assemble.looks.glance import Look
from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import fin_count, fin_station
from finial.assemble.vehicle.levers import span as span_lever
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import MissingData, OutsideRange
from finial.sizing.front import undominated
from finial.sizing.solve import MOST_BALLAST_KG, ballast_for

SPANS = (0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3)
SHIFTS_M = (-0.06, 0.0, 0.06)
Told = Callable[[int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeAsked:
    """Fins to try: every pair of span and shift with every count."""

    fin: str
    item: str
    needed_m: float
    """Margin at the bad end [m]."""
    spans: tuple[float, ...] = SPANS
    shifts_m: tuple[float, ...] = SHIFTS_M
    """How far aft the root begins of where the sheet has it [m]."""
    counts: tuple[int, ...] = ()
    """Numbers of fins; empty: the sheet's own, one less and one more."""
    most_kg: float = MOST_BALLAST_KG


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One fin, the least ballast for its margin, and what comes of it."""

    changes: Changes
    span: float
    station_m: float
    count: int
    ballast_kg: float
    look: Look
    is_best: bool = False
    """On the Pareto front of ballast, reach of the fins and apogee."""


def fin_trade(
    vehicle: LoadedVehicle, asked: TradeAsked, told: Told = lambda _done: None
) -> tuple[Tried, ...]:
    """Try every fin that was asked for; those that no ballast makes stable are left out.

    Returns
    -------
    tried : tuple of Tried
        Least ballast first. ``is_best`` marks those that no other beats in ballast, reach of the fins
        and apogee at once.

    Raises
    ------
    MissingData
        If the sheet has no such fin or item.
    OutsideRange
        If no fin at all can be made stable.
    """
    found: list[Tried] = []
    for done, (span, station, count) in enumerate(_combinations(vehicle, asked), start=1):
        sheet, name = vehicle.sheet, asked.fin
        fin = {
            **span_lever(sheet, name, span),
            **fin_station(sheet, name, station),
            **fin_count(sheet, name, count),
        }
        told(done)
        try:
            sized = ballast_for(vehicle, asked.item, asked.needed_m, most_kg=asked.most_kg, others=fin)
        except OutsideRange:
            continue
        found.append(
            Tried(
                changes=sized.changes,
                span=span,
                station_m=station,
                count=count,
                ballast_kg=sized.value,
                look=sized.look,
            )
        )
    if not found:
        raise OutsideRange(f"no fin tried is stable with up to {asked.most_kg:g} kg of {asked.item}")
    return _ranked(found)


def combinations(vehicle: LoadedVehicle, asked: TradeAsked) -> int:
    """How many fins will be tried."""
    return sum(1 for _ in _combinations(vehicle, asked))


def _combinations(vehicle: LoadedVehicle, asked: TradeAsked) -> Iterator[tuple[float, float, int]]:
    fin = next((fin for fin in vehicle.sheet.fin if fin.name == asked.fin), None)
    if fin is None:
        there = ", ".join(f'"{one.name}"' for one in vehicle.sheet.fin) or "none"
        raise MissingData(f'the sheet has no fin "{asked.fin}": it has {there}')
    counts = asked.counts or tuple(sorted({max(fin.count - 1, 3), fin.count, fin.count + 1}))
    length = max(along.value for along, _ in fin.outline)
    last = vehicle.skin.length_m - length
    stations = [fin.station.value + shift for shift in asked.shifts_m]
    # A fin pushed past the base has nothing to be glued to; the sheet's own place is always tried.
    fitting = [one for one in stations if 0.0 <= one <= max(last, fin.station.value)]
    yield from product(asked.spans, fitting or [fin.station.value], counts)


def _ranked(found: Iterable[Tried]) -> tuple[Tried, ...]:
    ordered = sorted(found, key=lambda one: one.ballast_kg)
    costs = np.array([(one.ballast_kg, one.look.span_m, -one.look.apogee_m) for one in ordered])
    return tuple(
        replace(one, is_best=bool(best)) for one, best in zip(ordered, undominated(costs), strict=True)
    )
