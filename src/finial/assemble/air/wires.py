"""Wires that brace the fins, as the air sees them."""

from collections.abc import Iterator

from finial.aero.drag.build_up import SmallPart
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.stays import stay_of
from finial.core.estimates import Estimate, KnownBy
from finial.shape.fin_set import FinSet
from finial.structure.fins.stays import StayPair, stay_line

WIRE_DRAG = (1.0, 1.1, 1.2)
"""Round wire across the flow at Reynolds numbers of 1e3 to 1e5, on diameter times length [-]."""


def wire_parts(vehicle: LoadedVehicle) -> Iterator[SmallPart]:
    """Wires of each stay: two from every fin to the body, one from every fin to the next.

    A wire that slants along the flow drags with the squared sine of its slant on the area
    it shows (crossflow principle).
    """
    for given, fins in zip(vehicle.sheet.fin, fin_sets(vehicle), strict=True):
        for number, stay in enumerate(given.stays, start=1):
            pair = stay_of(vehicle, fins, stay)
            line = stay_line(pair, fins.root_radius_m, fins.count)
            sine_squared = 1.0 - line.direction[0] ** 2
            count = fins.count * (1 if pair.to == "next fin" else 2)
            low, value, high = (drag * sine_squared for drag in WIRE_DRAG)
            yield SmallPart(
                name=f"{count} wires of stay {number}, {fins.name}",
                stations_m=_held_at(fins, pair),
                frontal_area_m2=count * pair.diameter_m * line.length_m * sine_squared**0.5,
                drag_coefficient=Estimate(
                    value=value,
                    low=low,
                    high=high,
                    known_by=KnownBy.HANDBOOK,
                    method="crossflow principle",
                    source="from memory of Hoerner, Fluid-Dynamic Drag, 1965",
                ),
            )


def _held_at(fins: FinSet, pair: StayPair) -> tuple[float, ...]:
    """Half of what a wire to the body feels goes to its anchor; between fins all of it to the fins."""
    on_fin = fins.station_m + pair.along_m
    return (on_fin,) if pair.to == "next fin" else (on_fin, fins.station_m + pair.anchor_along_m)
