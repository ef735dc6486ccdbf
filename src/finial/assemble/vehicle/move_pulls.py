"""What stands at a station and may stand elsewhere: items, packs, bays, the motor, rail buttons."""

from collections.abc import Iterator, Mapping

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import metres, with_tolerance
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.tweak import Tweak, TweakKind, tweak
from finial.core.dimensions import Dimension
from finial.core.units import Quantity
from finial.files.edit import Value
from finial.files.sheet import Sheet
from finial.files.toml_places import KeyPath

FARTHEST_SHARE = 0.2
"""How far a thing is moved, of the vehicle's length [-]: farther it is another layout; chosen."""
STEP_M = 1e-3
BUTTONS = "buttons"
"""Name under which the row of rail buttons is moved as one."""
Places = Mapping[KeyPath, tuple[Quantity, ...] | Quantity]
"""Stations that move together, and where they stand in the sheet."""


def move_pulls(vehicle: LoadedVehicle) -> Iterator[Tweak]:
    """Two pulls for each thing with a station of its own: forward, and aft."""
    for name, places in _movable(vehicle):
        yield from _both_ways(name, places, vehicle.skin.length_m)


def _movable(vehicle: LoadedVehicle) -> Iterator[tuple[str, Places]]:
    sheet = vehicle.sheet
    for index, item in enumerate(sheet.item):
        if item.kind != "spread" and item.room_of is None:
            yield item.name, {("item", index, "station"): item.station}
    for index, canopy in enumerate(sheet.recovery.canopy):
        yield canopy.name, {("recovery", "canopy", index, "station"): canopy.station}
    for index, bay in enumerate(sheet.recovery.bay):
        yield bay.name, {("recovery", "bay", index, "stations"): bay.stations}
    if not vehicle.files.missing:
        yield vehicle.motors[0].name, _motor(sheet)
    if sheet.guide is not None:
        yield BUTTONS, {("guide", "buttons"): sheet.guide.buttons}


def _motor(sheet: Sheet) -> Places:
    """Stations of motor, tube and thrust plate: they move as one."""
    motor = sheet.motor
    places: dict[KeyPath, tuple[Quantity, ...] | Quantity] = {
        ("motor", "nozzle_station"): motor.nozzle_station
    }
    if motor.mount is not None:
        places[("motor", "mount", "stations")] = motor.mount.stations
    if motor.thrust_plate is not None and motor.thrust_plate.station is not None:
        places[("motor", "thrust_plate", "station")] = motor.thrust_plate.station
    return places


def _both_ways(name: str, places: Places, length_m: float) -> Iterator[Tweak]:
    stations = [one for told in places.values() for one in (told if isinstance(told, tuple) else (told,))]
    first, last = min(one.value for one in stations), max(one.value for one in stations)
    now, far = stations[0].value, FARTHEST_SHARE * length_m

    def moved(station_m: float) -> Changes:
        return {where: _written(told, station_m - now) for where, told in places.items()}

    room = max(length_m - last, 0.0)
    for kind, most in ((TweakKind.FORWARD, now - min(far, first)), (TweakKind.AFT, now + min(far, room))):
        yield tweak(kind, name, (now, most, STEP_M), Dimension.LENGTH, moved)


def _written(told: tuple[Quantity, ...] | Quantity, by_m: float) -> Value:
    if isinstance(told, tuple):
        return list[object](_station(one, by_m) for one in told)
    return _station(told, by_m)


def _station(told: Quantity, by_m: float) -> str:
    return with_tolerance(metres, told.value + by_m, told.tolerance)
