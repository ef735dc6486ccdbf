"""Doubt about the air loads, and fins that do not stand straight."""

from collections.abc import Iterator

from finial.aero.fins.askew import askew_fins
from finial.assemble.air.sections import AirLoads
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.usual import reach
from finial.flight.inputs import AirDepartures
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, EVEN, Draw, either_way, factor_of
from finial.flight.uncertain import Drawn, Uncertain


def air_draws(vehicle: LoadedVehicle, air: AirLoads) -> Iterator[Draw]:
    """Drag, normal force and centre of pressure between the ends of their bands; fin angles."""
    axial, normal = Uncertain(kind=Drawn.AXIAL_FORCE), Uncertain(kind=Drawn.NORMAL_FORCE)
    yield factor_of(axial, slots.AXIAL_FACTOR, air.drag.power_off)
    yield factor_of(normal, slots.ACROSS_FACTOR, air.result.slope_per_rad)
    central, forward, aft = (
        float(values[0].mean())
        for values in (
            air.result.pressure_central_m,
            air.result.pressure_forward_m,
            air.result.pressure_aft_m,
        )
    )
    yield Draw(
        number=Uncertain(kind=Drawn.PRESSURE_CENTRE),
        slot=slots.STATION_SHIFT,
        shape=EVEN,
        base=0.0,
        below=max(central - forward, 0.0),
        above=max(aft - central, 0.0),
        unit="m",
    )
    yield from _fin_draws(vehicle, air)


def _fin_draws(vehicle: LoadedVehicle, air: AirLoads) -> Iterator[Draw]:
    """Fins each at their own angle: together they twist, and push aside."""
    askew = askew_fins(air.fins, reach(vehicle.sheet.scatter, "fin_angle"))
    for number, slot, ends in (
        (Uncertain(kind=Drawn.FINS_TWISTED), slots.ROLL_MOMENT, askew.roll),
        (Uncertain(kind=Drawn.FINS_CROOKED, side="y"), slots.SIDE, askew.side),
        (Uncertain(kind=Drawn.FINS_CROOKED, side="z"), slots.SIDE + 1, askew.side),
    ):
        yield either_way(number, slot, ends, "coefficient", shape=BELL)


def crooked_trim(air: AirLoads) -> AirDepartures:
    """Trim whose side force acts where the fins' forces do."""
    station = askew_fins(air.fins, 0.0).station_m
    return AirDepartures() if station is None else AirDepartures(side_station_m=station)
