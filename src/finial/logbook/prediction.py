"""What was predicted for the day: the flight of the sheet, and what of it a recorder would have felt."""

from dataclasses import dataclass

from finial.assemble.spread.case import FlightCase, flight_case
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.atmosphere.day import Day
from finial.flight.fly import fly
from finial.flight.inputs import FlightInputs
from finial.flight.trace import EventKind, Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction:
    """The flight that the sheet predicts, and the pad it leaves from."""

    case: FlightCase
    trace: Trace
    day: Day
    """Air at the pad."""
    tilt_rad: float
    rail_m: float | None
    """How far it climbs until nothing holds it any more; ``None`` where it never left the rail."""


def predicted(vehicle: LoadedVehicle) -> Prediction:
    """Fly the sheet's vehicle on the sheet's day."""
    return prediction_of(flight_case(vehicle))


def prediction_of(case: FlightCase) -> Prediction:
    """Fly the nominal flight of a case."""
    trace = fly(case.inputs)
    free = trace.event(EventKind.RAIL_EXIT)
    rail_m = None if free is None else free.height_agl_m - float(trace.positions_m[0, 2])
    return Prediction(
        case=case,
        trace=trace,
        day=day_of(case.inputs),
        tilt_rad=case.inputs.rail.tilt_rad,
        rail_m=rail_m,
    )


def day_of(inputs: FlightInputs) -> Day:
    """Air at the pad that a flight was computed for."""
    air = inputs.air
    return Day(
        ground_asl_m=air.ground_asl_m,
        pressure_pa=air.pressure_pa,
        temperature_k=air.temperature_k,
        lapse_k_m=air.lapse_k_m,
    )
