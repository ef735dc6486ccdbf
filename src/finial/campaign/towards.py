"""How far flights are from what is feared: what leads them there."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.campaign.asked import HOPED, Asked
from finial.campaign.flown import LANDINGS, SomeFlights
from finial.campaign.happened import happened
from finial.campaign.spot import Crowd, Spot
from finial.flight.kernel import layout
from finial.flight.many import trace_of
from finial.flight.packing.many import ManyPacked
from finial.flight.trace import EventKind, Trace

_APART: Final = 1e6
"""Farther than any landing, longer than any flight: those that miss one half of what is feared come later."""
_NOWHERE: Final = 1e9
"""Last of all come flights that are lost: as many as they may be, no others are led among them."""
_LEAST: Final = 1e-9
"""How far a flight is at least that is not there."""

Guide = Callable[[SomeFlights, NDArray[np.float64]], NDArray[np.float64]]
"""From flights, and the time to spare in each, to how far each is from what is feared, (n,)."""
Spared = Callable[[ManyPacked, Trace], float]
"""From one flight to the time between what saves it and the ground [s]; not a number where nothing does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Feared:
    """One thing that is feared at a place, and what leads flights towards it."""

    asked: Asked
    spot: Spot
    guide: Guide
    spared: Spared | None = None
    """Where the results of a flight do not tell how near it was."""

    def spare_s(self, packed: ManyPacked, number: int, shares: NDArray[np.float64]) -> float:
        """Fly a flight again for the time it had to spare [s]; not a number where nobody asks for it."""
        if self.spared is None:
            return np.nan
        return self.spared(packed, trace_of(packed, number, _numbered(packed), shares=shares))

    def far(self, flights: SomeFlights, spare_s: NDArray[np.float64]) -> NDArray[np.float64]:
        """How far flights are from it, (n,); 0 or less is there, by the rule that they are counted by."""
        which = dict(happened(flights, self.spot))[self.asked]
        there = ~which if self.asked in HOPED else which
        far = np.nan_to_num(self.guide(flights, spare_s), nan=_NOWHERE)
        return np.where(there, np.minimum(far, 0.0), np.maximum(far, _LEAST))


def all_feared(spot: Spot) -> Iterator[Feared]:
    """Everything feared that the place can tell, most feared first."""
    yield Feared(asked=Asked.OPEN_CANOPY, spot=spot, guide=_by_time, spared=_largest_open_s)
    yield Feared(asked=Asked.BALLISTIC, spot=spot, guide=_by_time, spared=_first_out_s)
    if spot.field_m is not None or spot.field_radius_m is not None:
        outline = Asked.INSIDE_OUTLINE if spot.field_m is not None else Asked.INSIDE_RADIUS
        yield Feared(asked=outline, spot=spot, guide=lambda flights, _: spot.inside_by_m(_points(flights)))
    if spot.crowd is not None:
        placed = Asked.STRIKES_CROWD if spot.crowd.is_placed else Asked.AS_FAR_AS_CROWD
        yield Feared(asked=placed, spot=spot, guide=_to(spot.crowd))
        yield Feared(asked=Asked.STRIKES_BARE, spot=spot, guide=_bare_to(spot.crowd))
    if spot.ceiling_agl_m is not None:
        ceiling = spot.ceiling_agl_m
        yield Feared(
            asked=Asked.OVER_CEILING,
            spot=spot,
            guide=lambda flights, _: _sound(flights, ceiling - flights.results["apogee_m"]),
        )


def _by_time(flights: SomeFlights, spare_s: NDArray[np.float64]) -> NDArray[np.float64]:
    return _sound(flights, spare_s)


def _to(crowd: Crowd) -> Guide:
    return lambda flights, _: _sound(flights, crowd.distance_m(_points(flights)))


def _bare_to(crowd: Crowd) -> Guide:
    """Under an open canopy nobody is there, however near: but nearer all the same than one far away."""

    def guide(flights: SomeFlights, spare_s: NDArray[np.float64]) -> NDArray[np.float64]:
        far = _to(crowd)(flights, spare_s)
        return np.where(flights.results["under_canopy"] > 0.0, np.maximum(far, 0.0) + _APART, far)

    return guide


def _points(flights: SomeFlights) -> NDArray[np.float64]:
    return np.column_stack([flights.results[name] for name in LANDINGS])


def _sound(flights: SomeFlights, far: NDArray[np.float64]) -> NDArray[np.float64]:
    """Leave out lost flights: what they come to nobody knows."""
    return np.where(flights.lost, np.nan, far)


def _numbered(packed: ManyPacked) -> tuple[str, ...]:
    return tuple(str(canopy) for canopy in range(int(packed.ints[layout.N_CANOPIES])))


def largest_canopy(packed: ManyPacked) -> int:
    """Which canopy has the largest drag area, from 0; -1 without any."""
    first, count = int(packed.ints[layout.AT_CANOPIES]), int(packed.ints[layout.N_CANOPIES])
    areas = packed.pool[first : first + count * layout.CANOPY_COLUMNS].reshape(count, -1)[:, 3]
    return int(np.argmax(areas)) if count else -1


def _largest_open_s(packed: ManyPacked, trace: Trace) -> float:
    """For how long before the ground the largest canopy stood open [s]."""
    opened = trace.event(EventKind.OPEN, str(largest_canopy(packed)))
    return np.nan if opened is None else float(trace.times_s[-1] - opened.time_s)


def _first_out_s(_packed: ManyPacked, trace: Trace) -> float:
    """For how long before the ground the first canopy was out [s]."""
    outs = [event.time_s for event in trace.events if event.kind is EventKind.OUT]
    return float(trace.times_s[-1]) - min(outs) if outs else np.nan
