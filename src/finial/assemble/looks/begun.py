"""What a sheet answers that is only begun: shape, mass so far, and air."""

from dataclasses import dataclass, replace

from finial.assemble.air.results import AirResult
from finial.assemble.air.source import air_loads
from finial.assemble.looks.answer import shape_result
from finial.assemble.mass.results import WeighedSoFar
from finial.assemble.mass.rows import mass_rows, weighed_so_far
from finial.assemble.vehicle.fins import all_fins, fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.results import ShapeResult


@dataclass(frozen=True, slots=True, kw_only=True)
class BegunAnswer:
    """Shape, mass and air of a vehicle that cannot be flown yet."""

    vehicle: LoadedVehicle
    shape: ShapeResult
    mass: WeighedSoFar
    air: AirResult


def begun_answer(vehicle: LoadedVehicle) -> BegunAnswer:
    """Answer what needs neither motor nor launch; the air is that of the launch, or standard air."""
    mass = weighed_so_far(vehicle, mass_rows(vehicle, fin_sets(vehicle)))
    air = air_loads(vehicle, mass.balance.value)
    return BegunAnswer(
        vehicle=vehicle,
        shape=shape_result(vehicle, all_fins(vehicle)),
        mass=mass,
        # Trim hangs on the balance point of the whole vehicle, which nobody knows yet.
        air=replace(air.result, straightness=None),
    )
