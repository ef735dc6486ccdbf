"""How warm printed parts get on the pad, in a car and round the motor, and what to do about it."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.mass.rows import part_span
from finial.assemble.strength.cuts import State, part_at, preload_of
from finial.assemble.strength.records import HeatCase, PreloadRow
from finial.assemble.vehicle.loading import PlacedPart, Vehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.rods import rod_count, rod_name, rods_of
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_body import RodEntry
from finial.materials.material import METAL, Material
from finial.materials.warmth import ROOM_K, creep_growth, warmed
from finial.shape.measures import section_at
from finial.structure.heat import softening_margin, surface_temperature
from finial.structure.rods.load_share import preload_left
from finial.structure.rods.preload import Stack, preload_growth
from finial.structure.rods.threads import stress_area, thread
from finial.structure.walls.outline import wall_area

CAR_RISE = Estimate(
    value=30.0,
    low=20.0,
    high=45.0,
    known_by=KnownBy.HANDBOOK,
    method="air of a closed car in the sun over the air outside [K]",
    source="parked cars: 20 to 28 K in an hour, more on the dashboard; from memory, not re-read",
)
CASE_WALL = Estimate(
    value=333.0,
    low=313.0,
    high=368.0,
    known_by=KnownBy.ASSUMED,
    method="print that touches the motor's tube, a minute after burnout [K]",
    source="assumed: cases reach 100 to 150 degC outside; an air gap or a card tube keeps most of it away",
)
EXPANSION_PRINT_PER_K, EXPANSION_STEEL_PER_K, EXPANSION_ALUMINIUM_PER_K = 70e-6, 12e-6, 23e-6
"""Expansion of printed plastic, steel and aluminium [1/K]; makers' data and handbooks, from memory."""


def wall_warmth(vehicle: Vehicle) -> Estimate:
    """Temperature of the outside in the day's sun and the vehicle's colour [K]."""
    launch = vehicle.sheet.launch
    return surface_temperature(
        launch.temperature.estimate(KnownBy.MEASURED), colour=vehicle.sheet.vehicle.colour or "black"
    )


def sunlit_state(vehicle: Vehicle, surface: Estimate) -> State:
    """Plastics as warm as the sun makes them, preload as far gone as creep takes it.

    Parameters
    ----------
    vehicle : Vehicle
        The vehicle.
    surface : Estimate
        Temperature of its walls [K].

    Returns
    -------
    state : State
        What to take plastics and preload for.
    """

    def of_plastic(stuff: Material) -> Material:
        return warmed(stuff, surface)

    def left(rod: RodEntry) -> float:
        stack, stuff = rod_stack(vehicle, rod), rod_print(vehicle, rod)
        if stack is None or stuff is None or stuff.softens_k is None:
            return 1.0
        wait_s = vehicle.sheet.launch.wait_on_pad.value
        return preload_left(stack, creep_growth(stuff.softens_k.value, surface.value, wait_s))

    def grown(rod: RodEntry) -> float:
        stack = rod_stack(vehicle, rod)
        return 0.0 if stack is None else _growth(rod, stack, surface) / rod_count(rod)

    return State(of_plastic=of_plastic, preload_left=left, preload_grown_n=grown)


def _growth(rod: RodEntry, stack: Stack, surface: Estimate) -> float:
    """Return what the sun adds to the preload of all rods of a set [N]."""
    steel = any(word in rod.material.casefold() for word in ("steel", "stainless"))
    return preload_growth(
        stack,
        wall_expansion_per_k=EXPANSION_PRINT_PER_K,
        rod_expansion_per_k=EXPANSION_STEEL_PER_K if steel else EXPANSION_ALUMINIUM_PER_K,
        warmer_by_k=surface.value - ROOM_K,
    )


def rod_print(vehicle: Vehicle, rod: RodEntry) -> Material | None:
    """Material of the print in the middle of a set of rods."""
    part = part_at(vehicle, (rod.stations[0].value + rod.stations[1].value) / 2)
    return sheet_material(vehicle.sheet, part.spec.material) if part else None


def rod_stack(vehicle: Vehicle, rod: RodEntry) -> Stack | None:
    """Axial stiffness of walls and of one set of rods, in their middle."""
    middle = (rod.stations[0].value + rod.stations[1].value) / 2
    part = part_at(vehicle, middle)
    if part is None:
        return None
    printed = part.spec.print
    area = wall_area(
        section_at(vehicle.skin, middle).loops,
        printed.wall.value if printed else None,
        printed.infill.value if printed else 0.0,
    )
    rods = rod_count(rod) * stress_area(thread(rod.thread))
    return Stack(
        wall_ea_n=area.area_m2 * sheet_material(vehicle.sheet, part.spec.material).modulus_pa.value,
        rod_ea_n=rods * sheet_material(vehicle.sheet, rod.material).modulus_pa.value,
    )


def preload_rows(vehicle: Vehicle, surface: Estimate) -> Iterator[PreloadRow]:
    """Preload of each set of rods over a day in the sun.

    Parameters
    ----------
    vehicle : Vehicle
        The vehicle.
    surface : Estimate
        Temperature of its walls [K].

    Yields
    ------
    row : PreloadRow
        One a set of rods.
    """
    state = sunlit_state(vehicle, surface)
    for rod in rods_of(vehicle.sheet):
        stack = rod_stack(vehicle, rod)
        tight = preload_of(rod, State())
        if stack is None or tight.value <= 0.0 or state.preload_left is None:
            continue
        grown = _growth(rod, stack, surface)
        left = state.preload_left(rod)
        hot = rod_count(rod) * tight.value + grown
        yield PreloadRow(
            rods=rod_name(rod),
            tightened_n=tight.scaled(rod_count(rod)),
            hot_n=hot,
            # What crept away hot is missing when it has cooled and shrunk again.
            after_n=max(hot * left - grown, 0.0),
            left=left,
        )


def heat_cases(vehicle: Vehicle, surface: Estimate) -> Iterator[HeatCase]:
    """Sun, closed car and motor for every printed part, worst place of each part first.

    Parameters
    ----------
    vehicle : Vehicle
        The vehicle.
    surface : Estimate
        Temperature of its walls in the sun [K].

    Yields
    ------
    case : HeatCase
        Temperature of a wall and where its plastic softens.
    """
    air = vehicle.sheet.launch.temperature.estimate(KnownBy.MEASURED)
    car = replace(
        CAR_RISE,
        value=air.value + CAR_RISE.value,
        low=air.low + CAR_RISE.low,
        high=air.high + CAR_RISE.high,
    )
    white = surface_temperature(air, colour="white")
    nozzle = vehicle.sheet.motor.nozzle_station.value
    case = (nozzle - vehicle.motor.length_m, nozzle)
    for part in vehicle.parts:
        stuff = sheet_material(vehicle.sheet, part.spec.material)
        if stuff.softens_k is None or stuff.kind == METAL:
            continue
        if part.spec.outside:
            cooler = (
                softening_margin(stuff.softens_k, white).value
                - softening_margin(stuff.softens_k, surface).value
            )
            yield _case(part, stuff, "on the pad in the sun", surface, _sun_advice(cooler))
        yield _case(
            part, stuff, "in a closed car in the sun", car, "Carry it in the shade with the windows open."
        )
        fore, aft = part_span(part)
        if fore < case[1] and aft > case[0]:
            yield _case(
                part,
                stuff,
                "where it touches the motor's tube",
                CASE_WALL,
                "Leave an air gap or a card tube round the motor; take it out soon after landing.",
            )


def _sun_advice(cooler_k: float) -> str:
    if cooler_k > 3.0:
        return f"White paint keeps it about {cooler_k:.0f} K cooler; shade it until the countdown."
    return "Shade it until the countdown."


def _case(part: PlacedPart, stuff: Material, where: str, temperature: Estimate, advice: str) -> HeatCase:
    assert stuff.softens_k is not None
    margin = softening_margin(stuff.softens_k, temperature)
    return HeatCase(
        part=part.spec.name,
        where=where,
        temperature=temperature,
        margin=margin,
        advice="" if margin.low >= 0 else f"{advice} Or print it in a plastic that softens later.",
    )
