"""What canopies may do differently: drag, filling, late events, and failing."""

from collections.abc import Iterator

from finial.assemble.vehicle.canopies import drag_area, reefed_kind
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.usual import reach, usual
from finial.files.sheet_recovery import CanopyEntry
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import EVEN, ODDS, Draw, canopy_slot, either_way, factor_of
from finial.flight.uncertain import Drawn, Uncertain


def canopy_draws(vehicle: LoadedVehicle, rows: int) -> Iterator[Draw]:
    """Drag, filling, lateness and odds of failing for each canopy; drag of the opened vehicle."""
    for index, canopy in enumerate(vehicle.sheet.recovery.canopy):
        yield from _one(vehicle, canopy, rows, index)
    opened = Uncertain(kind=Drawn.OPENED_DRAG)
    yield either_way(opened, slots.TUMBLING_FACTOR, usual("tumbling_area"), "share", base=1.0)


def _one(vehicle: LoadedVehicle, canopy: CanopyEntry, rows: int, index: int) -> Iterator[Draw]:
    scatter = vehicle.sheet.scatter
    late = reach(scatter, "event_delay", canopy.delay)
    own = canopy.name
    yield factor_of(
        Uncertain(kind=Drawn.CANOPY_DRAG, of=own), canopy_slot(rows, index, "drag_factor"), drag_area(canopy)
    )
    filling = reefed_kind(canopy).fill_constant
    yield factor_of(
        Uncertain(kind=Drawn.CANOPY_FILLING, of=own), canopy_slot(rows, index, "filling_factor"), filling
    )
    yield Draw(
        number=Uncertain(kind=Drawn.CANOPY_LATE, of=own),
        slot=canopy_slot(rows, index, "delay_s"),
        shape=EVEN,
        base=canopy.delay.value,
        below=min(canopy.delay.value, late),
        above=late,
        unit="s",
    )
    height = canopy.event.falling_through
    if height is not None:
        opens = Uncertain(kind=Drawn.CANOPY_HEIGHT, of=own)
        at = canopy_slot(rows, index, "threshold")
        yield either_way(opens, at, height.tolerance, "m", base=height.value)
    for kind, part, name in (
        (Drawn.STAYS_IN, "stays_in", "canopy_stays_in"),
        (Drawn.STAYS_BUNDLED, "stays_bundle", "canopy_stays_bundled"),
    ):
        yield Draw(
            number=Uncertain(kind=kind, of=own),
            slot=canopy_slot(rows, index, part),
            shape=ODDS,
            base=0.0,
            above=reach(scatter, name),
            unit="odds",
        )
