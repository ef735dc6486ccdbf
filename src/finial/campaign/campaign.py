"""One campaign: what is flown, how often, with which numbers; nothing of where or how fast."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finial.campaign.design import DESIGNS, PLAIN, design_points
from finial.core.errors import OutsideRange
from finial.core.version import __version__
from finial.flight.inputs import FlightInputs
from finial.flight.many import ManyFlights, fly_many, trace_of
from finial.flight.packing.many import ManyPacked, packed_many
from finial.flight.spread import Spread
from finial.flight.trace import Trace
from finial.flight.uncertain import Uncertain

MOST_FLIGHTS = 100_000_000
PROCESSORS = "processors"


@dataclass(frozen=True, slots=True, kw_only=True)
class Campaign:
    """Flights 0 to ``flights - 1``; self-contained, so that it can run on another machine."""

    name: str
    packed: ManyPacked
    draws: tuple[Uncertain, ...]
    """The uncertain numbers, in order."""
    units: tuple[str, ...]
    flights: int
    seed: int
    design: str
    rounding: str = PROCESSORS
    """What rounds the last bits: processors, or cards of which model."""


def planned(
    name: str, inputs: FlightInputs, spread: Spread, *, flights: int, seed: int, design: str = PLAIN
) -> Campaign:
    """Plan a campaign.

    Raises
    ------
    OutsideRange
        If the number of flights, the seed or the design cannot be, or the flight itself.
    """
    if not 1 <= flights <= MOST_FLIGHTS:
        raise OutsideRange(f"{flights} flights: accepted are 1 to {MOST_FLIGHTS}")
    if design not in DESIGNS:
        raise OutsideRange(f"design {design!r}: accepted are {', '.join(DESIGNS)}")
    return Campaign(
        name=name,
        packed=packed_many(inputs, spread, seed=seed, drawn_here=design == PLAIN),
        draws=tuple(draw.number for draw in spread.draws),
        units=tuple(draw.unit for draw in spread.draws),
        flights=flights,
        seed=seed,
        design=design,
    )


def fly_range(campaign: Campaign, first: int, end: int, threads: int = 1) -> ManyFlights:
    """Fly flights ``first`` to ``end - 1``: the same bits wherever and with whatever else they are flown."""
    shares = shares_of(campaign, first, end)
    return fly_many(campaign.packed, first, end - first, shares=shares, threads=threads)


def shares_of(campaign: Campaign, first: int, end: int) -> NDArray[np.float64] | None:
    """Design points of flights ``first`` to ``end - 1``; ``None`` where the kernel draws its own."""
    span = (first, end)
    return design_points(campaign.design, campaign.seed, campaign.flights, campaign.packed.draws, span)


def fly_traced(campaign: Campaign, number: int, canopies: tuple[str, ...]) -> Trace:
    """Fly one flight of the campaign again, and keep its whole time history."""
    return trace_of(campaign.packed, number, canopies, shares=shares_of(campaign, number, number + 1))


def fingerprint(campaign: Campaign) -> str:
    """Hash of vehicle, settings and code: campaigns with different ones must not share a folder.

    The number of flights belongs to it only where the design depends on it.
    """
    packed = campaign.packed
    told = f"{campaign.design} {campaign.draws} {campaign.units} {code_hash()} {campaign.rounding}"
    digest = hashlib.sha256(told.encode())
    if campaign.design == "latin":
        digest.update(str(campaign.flights).encode())
    for array in (packed.marks, packed.plan, packed.ints, packed.pool, packed.table):
        digest.update(np.ascontiguousarray(array).tobytes())
    return digest.hexdigest()


def code_hash() -> str:
    """Hash of the code that decides what a flight's numbers are: kernels, designs, and what they stand on."""
    from finial.flight.kernel.compiled import sources_hash

    digest = hashlib.sha256(f"{__version__} {sources_hash()} {np.__version__}".encode())
    digest.update((Path(__file__).parent / "design.py").read_bytes())
    return digest.hexdigest()[:16]
