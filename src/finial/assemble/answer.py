"""All stages below range safety, in order: shape, mass, air, flight, recovery, strength, electronics."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from finial.aero.fin import FinSet
from finial.assemble.air import air_loads
from finial.assemble.canopies import recovery_result
from finial.assemble.cases import load_cases
from finial.assemble.circuits import electronics_result
from finial.assemble.day import wind_at_ten_metres
from finial.assemble.fins import all_fins, fin_sets
from finial.assemble.flights import Flights, flight_result, fly_corners
from finial.assemble.loading import Vehicle
from finial.assemble.masses import Row, mass_history, mass_result, mass_rows
from finial.assemble.moments import recovery_moments
from finial.assemble.picture import display_mesh
from finial.assemble.results import (
    AirResult,
    ElectronicsResult,
    FlightResult,
    MassResult,
    RecoveryResult,
    ShapeResult,
    StabilityPoint,
    StrengthResult,
)
from finial.assemble.stability import moments_of, stability_points
from finial.assemble.strength import strength_result
from finial.files.sheet_body import Item
from finial.shape.measures import extents_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What the builder tries on the page: ballast by item name [kg], and fin span over the sheet's."""

    ballast_kg: Mapping[str, float] = field(default_factory=dict)
    fin_span_scale: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Results of every stage, and the rows and flights they came from."""

    vehicle: Vehicle
    rows: tuple[Row, ...]
    flights: Flights
    shape: ShapeResult
    mass: MassResult
    air: AirResult
    stability: tuple[StabilityPoint, ...]
    strength: StrengthResult
    flight: FlightResult
    recovery: RecoveryResult
    electronics: ElectronicsResult


def answer(vehicle: Vehicle) -> Answer:
    """Run every stage on a loaded vehicle."""
    fins = fin_sets(vehicle)
    rows = mass_rows(vehicle, fins)
    mass = mass_result(vehicle, rows)
    _, *across = mass.lift_off.centre_m.tolist()
    air = air_loads(vehicle, mass.lift_off.station_m, (across[0], across[1]))
    flights = fly_corners(vehicle, rows, air, mass)
    wind = wind_at_ten_metres(vehicle)
    moments = moments_of(flights.nominal, flights.windy, wind.high)
    recovery = recovery_result(vehicle.sheet, mass, recovery_moments(vehicle, air, flights))
    cases = load_cases(vehicle, rows, air, (flights.nominal, moments[1]), recovery)
    return Answer(
        vehicle=vehicle,
        rows=rows,
        flights=flights,
        shape=_shape(vehicle, all_fins(vehicle)),
        mass=mass,
        air=air.result,
        stability=stability_points(moments, vehicle.skin, air.result, mass, mass_history(vehicle, rows)),
        strength=strength_result(vehicle, air, cases, recovery),
        flight=flight_result(vehicle, mass, flights),
        recovery=recovery,
        electronics=electronics_result(vehicle.sheet),
    )


def _shape(vehicle: Vehicle, fins: tuple[FinSet, ...]) -> ShapeResult:
    mesh, fin_faces = display_mesh(vehicle.parts, fins)
    repairs = tuple(
        f"{part.spec.name}: {note}"
        for part in vehicle.parts
        for note in (*part.mended.notes, *part.solid.notes)
    )
    return ShapeResult(
        skin=vehicle.skin,
        display_mesh=mesh,
        fin_faces=fin_faces,
        fins=fins,
        across_m=extents_m(vehicle.skin),
        repairs=(*repairs, *(note for note in vehicle.skin.notes if note not in " ".join(repairs))),
    )


def changed(vehicle: Vehicle, changes: Changes) -> Vehicle:
    """Return the vehicle with other ballast and fin span; meshes and sections stay.

    Examples
    --------
    >>> Changes().fin_span_scale
    1.0
    """
    sheet = vehicle.sheet
    tried = (_item_tried(item, changes.ballast_kg) for item in sheet.item)
    items = tuple(item for item in tried if item.mass.value > 0)
    scale = changes.fin_span_scale
    fins = tuple(
        fin.model_copy(
            update={
                "outline": tuple(
                    (along, replace(outward, value=outward.value * scale)) for along, outward in fin.outline
                )
            }
        )
        for fin in sheet.fin
    )
    return replace(vehicle, sheet=sheet.model_copy(update={"item": items, "fin": fins}))


def _item_tried(item: Item, ballast_kg: Mapping[str, float]) -> Item:
    """Give the item the mass that is tried; less than its tolerance narrows the tolerance too."""
    if item.name not in ballast_kg:
        return item
    mass_kg = ballast_kg[item.name]
    mass = replace(item.mass, value=mass_kg, tolerance=min(item.mass.tolerance, mass_kg))
    return item.model_copy(update={"mass": mass})
