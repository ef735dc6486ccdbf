"""How warm printed parts get on the pad, in a car and round the motor, and what a day does to rods."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.strength.build import build_of, part_at, wall_cuts
from finial.assemble.strength.cuts import Warmth, tightened
from finial.assemble.strength.results import HeatCase, Place, PreloadRow
from finial.assemble.vehicle.loading import LoadedVehicle, PlacedPart
from finial.assemble.vehicle.materials import sheet_material
from finial.assemble.vehicle.rods import rod_count, rod_name, rods_of
from finial.assemble.vehicle.usual import usual_reach
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.kept_parts import kept
from finial.files.sheet_body import RodEntry
from finial.materials.material import METAL, Material
from finial.materials.warmth import CREEP_DOUBT, ROOM_K, creep_growth
from finial.structure.heat import softening_margin, surface_temperature
from finial.structure.rods.preload import (
    PreloadChange,
    Stack,
    preload_cooled,
    preload_growth,
    preload_left,
    preload_over_day,
)
from finial.structure.rods.threads import stress_area, thread

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


def air_temperature(vehicle: LoadedVehicle) -> Estimate:
    """Air at the pad [K], give or take what a forecast is off where the sheet does not say."""
    return usual_reach(vehicle.sheet.launch.temperature, "temperature")


def wall_warmth(vehicle: LoadedVehicle) -> Estimate:
    """Temperature of the outside in the day's sun and the vehicle's colour [K]."""
    return _sunlit(air_temperature(vehicle), vehicle.sheet.vehicle.colour or "black")


@kept(32)
def _sunlit(air: Estimate, colour: str) -> Estimate:
    return surface_temperature(air, colour=colour)


def sunlit(vehicle: LoadedVehicle, surface: Estimate) -> Warmth:
    """Plastics as warm as the sun makes them, preload over the whole day.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    surface : Estimate
        Temperature of its walls [K].
    """
    found: dict[tuple[object, ...], PreloadChange | None] = {}

    def change(rod: RodEntry) -> PreloadChange | None:
        key = (rod.thread, rod.material, rod_count(rod), *(end.value for end in rod.stations))
        if key not in found:
            found[key] = preload_change(vehicle, rod, surface)
        return found[key]

    return Warmth(walls=surface, change=change)


def preload_change(vehicle: LoadedVehicle, rod: RodEntry, surface: Estimate) -> PreloadChange | None:
    """Return what a day does to one set of rods; ``None`` where no part stands between its nuts.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    rod : RodEntry
        The set of rods.
    surface : Estimate
        Temperature of its walls [K].
    """
    found = _stack(vehicle, rod)
    if found is None:
        return None
    stack, walls = found
    metal = sheet_material(vehicle.sheet, rod.material)

    def grown(temperature: Estimate) -> Estimate:
        return over_corners(
            lambda kelvin, wall, screw: preload_growth(
                stack, wall_expansion_per_k=wall, rod_expansion_per_k=screw, warmer_by_k=kelvin - ROOM_K
            ),
            {"kelvin": temperature, "wall": walls.expansion_per_k, "screw": metal.expansion_per_k},
            method="plastic and metal side by side",
        )

    return PreloadChange(
        count=rod_count(rod),
        hot_n=grown(surface),
        cold_n=grown(air_temperature(vehicle)),
        left=_left(stack, walls, (surface, vehicle.sheet.launch.wait_on_pad.value)),
    )


def _left(stack: Stack, walls: Material, soak: tuple[Estimate, float]) -> Estimate:
    """Share of a preload that creep leaves after a wait [-], with the doubt about creep itself."""
    surface, wait_s = soak
    if walls.softens_k is None:
        return exact(1.0)

    def share(doubt: float, softens_k: float, kelvin: float) -> float:
        return preload_left(stack, doubt * creep_growth(softens_k, kelvin, wait_s))

    return over_corners(
        share,
        {"doubt": CREEP_DOUBT, "softens_k": walls.softens_k, "kelvin": surface},
        method="creep of the walls under the nuts",
        source=CREEP_DOUBT.source,
    )


def _stack(vehicle: LoadedVehicle, rod: RodEntry) -> tuple[Stack, Material] | None:
    """Axial stiffness of walls and of one set of rods, in their middle, and the walls' stuff."""
    middle = (rod.stations[0].value + rod.stations[1].value) / 2
    part = part_at(vehicle, middle)
    between = [cut for cut in wall_cuts(build_of(vehicle)) if cut.part is part]
    if part is None or not between:
        return None
    nearest = min(between, key=lambda cut: abs(cut.station_m - middle))
    walls = sheet_material(vehicle.sheet, part.spec.material)
    rods = rod_count(rod) * stress_area(thread(rod.thread))
    stack = Stack(
        wall_ea_n=nearest.area.area_m2 * walls.modulus_pa.value,
        rod_ea_n=rods * sheet_material(vehicle.sheet, rod.material).modulus_pa.value,
    )
    return stack, walls


def preload_rows(vehicle: LoadedVehicle, surface: Estimate) -> Iterator[PreloadRow]:
    """Preload of each set of rods over a day.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    surface : Estimate
        Temperature of its walls [K].
    """
    for rod in rods_of(vehicle.sheet):
        change, tight = preload_change(vehicle, rod, surface), tightened(rod).scaled(rod_count(rod))
        if change is None or tight.value <= 0.0:
            continue
        yield PreloadRow(
            rods=rod_name(rod),
            tightened_n=tight,
            hot_n=_added(tight, change.hot_n),
            cold_n=_added(tight, change.cold_n),
            day_n=preload_over_day(tight, change),
            cooled_n=preload_cooled(tight, change),
            left=change.left,
        )


def _added(tight: Estimate, growth: Estimate) -> Estimate:
    """Tension with what heat or cold adds [N]; no rod pushes."""
    return over_corners(lambda one, other: max(one + other, 0.0), {"one": tight, "other": growth})


def sun_cases(vehicle: LoadedVehicle, surface: Estimate) -> Iterator[HeatCase]:
    """Sun on each printed part of the outside and on each fin, in the colour of the vehicle.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    surface : Estimate
        Temperature of its walls [K].
    """
    white = _sunlit(air_temperature(vehicle), "white")
    outside = [(part.spec.name, stuff) for part, stuff in _softening(vehicle) if part.spec.outside]
    for name, stuff in (*outside, *_softening_fins(vehicle)):
        found = _case(name, stuff, Place.SUN, surface)
        yield replace(found, white_cools_k=surface.value - white.value)


def heat_cases(vehicle: LoadedVehicle, surface: Estimate) -> Iterator[HeatCase]:
    """Sun and closed car for every printed part and every fin, and the motor for parts.

    Parameters
    ----------
    vehicle : LoadedVehicle
        The vehicle.
    surface : Estimate
        Temperature of its walls [K].
    """
    yield from sun_cases(vehicle, surface)
    air = air_temperature(vehicle)
    car = replace(
        CAR_RISE,
        value=air.value + CAR_RISE.value,
        low=air.low + CAR_RISE.low,
        high=air.high + CAR_RISE.high,
    )
    nozzle = vehicle.sheet.motor.nozzle_station.value
    for name, stuff in _softening_fins(vehicle):
        yield _case(name, stuff, Place.CAR, car)
    for part, stuff in _softening(vehicle):
        yield _case(part.spec.name, stuff, Place.CAR, car)
        fore, aft = part.span_m
        if fore < nozzle and aft > nozzle - vehicle.motor.length_m:
            yield _case(part.spec.name, stuff, Place.MOTOR, CASE_WALL)


def _softening(vehicle: LoadedVehicle) -> Iterator[tuple[PlacedPart, Material]]:
    for part in vehicle.parts:
        stuff = sheet_material(vehicle.sheet, part.spec.material)
        if stuff.softens_k is not None and stuff.kind != METAL:
            yield part, stuff


def _softening_fins(vehicle: LoadedVehicle) -> Iterator[tuple[str, Material]]:
    """Fins of the sheet; those drawn in a mesh are parts."""
    for fin in vehicle.sheet.fin:
        stuff = sheet_material(vehicle.sheet, fin.material)
        if stuff.softens_k is not None:
            yield fin.name, stuff


def _case(name: str, stuff: Material, place: Place, temperature: Estimate) -> HeatCase:
    assert stuff.softens_k is not None
    return HeatCase(
        part=name,
        place=place,
        temperature=temperature,
        softens=stuff.softens_k,
        margin=softening_margin(stuff.softens_k, temperature),
    )
