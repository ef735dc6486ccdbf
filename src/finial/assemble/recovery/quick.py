"""Recovery, first form: canopies, charges, pins and cords of the sheet, at this flight's events."""

from collections.abc import Iterator

from finial.assemble.mass.results import MassResult
from finial.assemble.recovery.bays import pack_study
from finial.assemble.recovery.charges import charge_result
from finial.assemble.recovery.inputs import EventStates
from finial.assemble.recovery.lines import cord_result
from finial.assemble.recovery.results import (
    CanopyResult,
    EarlyOpening,
    LandingPiece,
    LandingRow,
    RecoveryResult,
)
from finial.assemble.vehicle.canopies import drag_area, nominal, reefed_kind
from finial.core.estimates import Estimate, exact, total
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import CanopyEntry
from finial.recovery.canopies.descent import descent_speed, ground_speed, landing_energy
from finial.recovery.canopies.opening import Opening, opening_load


def recovery_result(sheet: Sheet, mass: MassResult, moments: EventStates) -> RecoveryResult:
    """Answer for every canopy, charge and cord in the sheet."""
    burnout_kg = _descending_mass(mass)
    canopies = tuple(_canopy(canopy, burnout_kg, moments) for canopy in sheet.recovery.canopy)
    landing = min((canopy.descent_speed for canopy in canopies), key=lambda speed: speed.value, default=None)
    return RecoveryResult(
        canopies=canopies,
        charges=tuple(charge_result(sheet, charge, moments, canopies) for charge in sheet.recovery.charge),
        cords=tuple(cord_result(sheet, cord, moments) for cord in sheet.recovery.cord),
        landing_speed=landing,
        landing_energy=landing_energy(burnout_kg, landing) if landing else None,
        descent_mass_kg=burnout_kg.value,
        ground_speed=ground_speed(landing, moments.wind_m_s) if landing else None,
        landings=_landings(burnout_kg, landing, moments),
        packs=tuple(filter(None, (pack_study(sheet, bay) for bay in sheet.recovery.bay))),
        early=tuple(_early(sheet, moments)),
        tumbling_speed=_tumbling_speed(burnout_kg, moments),
    )


def _early(sheet: Sheet, moments: EventStates) -> Iterator[EarlyOpening]:
    """Canopies whose height lies above the lowest apogee of the flights."""
    for canopy in sheet.recovery.canopy:
        height = canopy.event.falling_through
        if height is not None and height.high >= moments.top_agl_m.low:
            yield EarlyOpening(canopy=canopy.name, height_m=height.value, top_m=moments.top_agl_m)


def _tumbling_speed(mass_kg: Estimate, moments: EventStates) -> Estimate | None:
    area = moments.parted_area_m2
    return descent_speed(mass_kg, area, moments.ground_density_kg_m3) if area else None


def _landings(whole_kg: Estimate, fall: Estimate | None, moments: EventStates) -> tuple[LandingRow, ...]:
    """Energy of the whole and of the heaviest piece that comes down on one cord."""
    if fall is None:
        return ()
    over_ground = ground_speed(fall, moments.wind_m_s)
    pieces = [(LandingPiece.WHOLE, whole_kg)]
    if len(moments.pieces_kg) > 1:
        pieces.append((LandingPiece.HEAVIEST, max(moments.pieces_kg, key=lambda piece: piece.high)))
    return tuple(
        LandingRow(
            piece=piece,
            mass_kg=mass.value,
            fall=landing_energy(mass, fall),
            with_wind=landing_energy(mass, over_ground),
        )
        for piece, mass in pieces
    )


def _descending_mass(mass: MassResult) -> Estimate:
    burnt = mass.lift_off.mass_kg - mass.burnout.mass_kg
    lift_off = mass.lift_off_mass
    return total([lift_off, exact(-burnt)], method="lift-off mass less propellant")


def _canopy(canopy: CanopyEntry, mass_kg: Estimate, moments: EventStates) -> CanopyResult:
    area = drag_area(canopy)
    opening = Opening(
        kind=reefed_kind(canopy),
        nominal_diameter_m=nominal(canopy),
        drag_area_m2=area,
        mass_kg=mass_kg,
        speed_m_s=moments.out_speed_m_s[canopy.name],
        density_kg_m3=moments.out_density_kg_m3[canopy.name],
    )
    return CanopyResult(
        name=canopy.name,
        drag_area=area,
        descent_speed=descent_speed(mass_kg, area, moments.ground_density_kg_m3),
        opening_speed_m_s=opening.speed_m_s.value,
        opening_load=opening_load(opening),
    )
