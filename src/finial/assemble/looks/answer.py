"""All stages below range safety: shape, mass, inside, air, flight, recovery, strength, electronics."""

from dataclasses import dataclass, replace

from finial.assemble.air.results import AirResult
from finial.assemble.basis import Basis, airborne, landed
from finial.assemble.electronics.results import ElectronicsResult
from finial.assemble.electronics.sensing import sensing
from finial.assemble.electronics.study import electronics_result
from finial.assemble.flights.corners import Flights
from finial.assemble.flights.outcome import flight_result
from finial.assemble.flights.results import FlightResult
from finial.assemble.inside.cavity import room_inside
from finial.assemble.inside.results import InsideResult
from finial.assemble.inside.study import inside_result
from finial.assemble.mass.results import MassResult
from finial.assemble.mass.rows import Row
from finial.assemble.recovery.moments import recovery_moments
from finial.assemble.recovery.other_charges import other_openings
from finial.assemble.recovery.quick import recovery_result
from finial.assemble.recovery.results import RecoveryResult
from finial.assemble.stability.results import StabilityPoint
from finial.assemble.strength.buttons import ButtonHold, button_hold
from finial.assemble.strength.cases import FlightLoads, Masses, load_cases
from finial.assemble.strength.forces import AirForces
from finial.assemble.strength.pulls import quick_pulls
from finial.assemble.strength.quick import strength_result
from finial.assemble.strength.results import StrengthResult
from finial.assemble.vehicle.fins import all_fins, fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.picture import display_mesh
from finial.assemble.vehicle.results import ShapeResult
from finial.core.kept_parts import kept
from finial.shape.fin_set import FinSet
from finial.shape.measures import extents_m
from finial.shape.skin import Skin


@dataclass(frozen=True, slots=True, kw_only=True)
class StageResults:
    """Results of every stage, and what they stand on."""

    basis: Basis
    shape: ShapeResult
    air: AirResult
    strength: StrengthResult
    flight: FlightResult
    recovery: RecoveryResult
    electronics: ElectronicsResult
    inside: InsideResult
    buttons: ButtonHold | None
    """What the rail buttons must hold; ``None`` without two of them."""

    @property
    def vehicle(self) -> LoadedVehicle:
        """The vehicle that was answered."""
        return self.basis.vehicle

    @property
    def rows(self) -> tuple[Row, ...]:
        """Rows of the mass table."""
        return self.basis.rows

    @property
    def flights(self) -> Flights:
        """The nominal flight and its corners."""
        return self.basis.flights

    @property
    def mass(self) -> MassResult:
        """The mass table's totals."""
        return self.basis.mass

    @property
    def stability(self) -> tuple[StabilityPoint, ...]:
        """Margins at the moments that matter."""
        return self.basis.stability


def answer(vehicle: LoadedVehicle) -> StageResults:
    """Run every stage on a loaded vehicle."""
    flying = airborne(vehicle)
    # What no flight moves is found while they are in the air.
    mass = flying.mass
    inside = inside_result(
        vehicle, fin_sets(vehicle), balance_m=mass.lift_off_balance, lift_off_kg=mass.lift_off.mass_kg
    )
    shape = shape_result(vehicle, all_fins(vehicle))
    basis = landed(flying)
    air, flights, mass = basis.air, basis.flights, basis.mass
    recovery = replace(
        recovery_result(vehicle.sheet, mass, recovery_moments(basis)), others=other_openings(basis)
    )
    loads = FlightLoads(
        masses=Masses(vehicle=vehicle, rows=basis.rows),
        air=AirForces(vehicle=vehicle, air=air),
        trace=flights.nominal,
        fastest=basis.fastest,
    )
    cases = load_cases(loads, quick_pulls(vehicle.sheet, recovery))
    return StageResults(
        basis=basis,
        shape=shape,
        air=air.result,
        strength=strength_result(vehicle, air, cases, (flights, recovery), inside.fittings.bay_ends),
        flight=flight_result(vehicle, basis.rows, mass, air, flights),
        recovery=recovery,
        electronics=replace(
            electronics_result(vehicle.sheet), sensing=sensing(vehicle, flights, room_inside(vehicle))
        ),
        inside=inside,
        buttons=button_hold(basis),
    )


def shape_result(vehicle: LoadedVehicle, fins: tuple[FinSet, ...]) -> ShapeResult:
    """Return the outside with and without fins, and what its meshes needed."""
    return _shape(vehicle.parts, vehicle.skin, fins)


@kept(4)
def _shape(parts: tuple[PlacedPart, ...], skin: Skin, fins: tuple[FinSet, ...]) -> ShapeResult:
    mesh, fin_faces = display_mesh(parts, fins)
    repairs = tuple(
        f"{part.spec.name}: {note}" for part in parts for note in (*part.mended.notes, *part.solid.notes)
    )
    return ShapeResult(
        skin=skin,
        display_mesh=mesh,
        fin_faces=fin_faces,
        fins=fins,
        across_m=_extents_m(skin),
        repairs=(*repairs, *(note for note in skin.notes if note not in " ".join(repairs))),
        open_parts=tuple(part.spec.name for part in parts if part.mended.open_edges),
        mended=tuple(part.spec.name for part in parts if part.mended.was_open),
        crossing=tuple(part.spec.name for part in parts if part.mended.crosses_itself),
    )


# Fins grow on the page, and the skin that they stand on stays as wide.
@kept(4)
def _extents_m(skin: Skin) -> tuple[float, float]:
    return extents_m(skin)
