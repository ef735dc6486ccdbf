"""What canopies may do differently: drag, filling, late events, and failing."""

from collections.abc import Iterator

from finial.assemble.vehicle.canopies import drag_area, reefed_kind
from finial.assemble.vehicle.loading import Vehicle
from finial.assemble.vehicle.usual import reach, usual
from finial.core.estimates import Estimate
from finial.files.sheet_recovery import CanopyEntry
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import EVEN, ODDS, Draw, canopy_slot

STAYS_IN, STAYS_BUNDLED = "stays in", "stays a bundle"


def canopy_draws(vehicle: Vehicle, rows: int) -> Iterator[Draw]:
    """Drag, filling, lateness and odds of failing for each canopy; drag of the opened vehicle."""
    for index, canopy in enumerate(vehicle.sheet.recovery.canopy):
        yield from _one(vehicle, canopy, rows, index)
    area = usual("tumbling_area")
    yield Draw(
        name="drag of the opened vehicle",
        slot=slots.TUMBLING_FACTOR,
        shape=EVEN,
        base=1.0,
        below=area,
        above=area,
        unit="share",
    )


def _one(vehicle: Vehicle, canopy: CanopyEntry, rows: int, index: int) -> Iterator[Draw]:
    scatter = vehicle.sheet.scatter
    late = reach(scatter, "event_delay", canopy.delay)
    yield _factor(f"drag of {canopy.name}", canopy_slot(rows, index, "drag_factor"), drag_area(canopy))
    filling = reefed_kind(canopy).fill_constant
    yield _factor(f"filling of {canopy.name}", canopy_slot(rows, index, "filling_factor"), filling)
    yield Draw(
        name=f"lateness of {canopy.name}",
        slot=canopy_slot(rows, index, "delay_s"),
        shape=EVEN,
        base=canopy.delay.value,
        below=min(canopy.delay.value, late),
        above=late,
        unit="s",
    )
    height = canopy.event.falling_through
    if height is not None:
        yield Draw(
            name=f"height of {canopy.name}",
            slot=canopy_slot(rows, index, "threshold"),
            shape=EVEN,
            base=height.value,
            below=height.tolerance,
            above=height.tolerance,
            unit="m",
        )
    for words, part, name in (
        (STAYS_IN, "stays_in", "canopy_stays_in"),
        (STAYS_BUNDLED, "stays_bundle", "canopy_stays_bundled"),
    ):
        yield Draw(
            name=f"{canopy.name} {words}",
            slot=canopy_slot(rows, index, part),
            shape=ODDS,
            base=0.0,
            above=reach(scatter, name),
            unit="odds",
        )


def _factor(name: str, slot: int, band: Estimate) -> Draw:
    below, above = (band.value - band.low) / band.value, (band.high - band.value) / band.value
    return Draw(name=name, slot=slot, shape=EVEN, base=1.0, below=below, above=above, unit="share")
