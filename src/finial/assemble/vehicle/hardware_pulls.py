"""Pulls at small things: washers, threads, dowels, plates, screws, eyes, roots, wires, batteries."""

from collections.abc import Callable, Iterator

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.levers import metres, newtons, with_tolerance
from finial.assemble.vehicle.tweak import MOST_TIMES, Tweak, TweakKind, tweak
from finial.core.dimensions import Dimension
from finial.core.units import Quantity
from finial.files.sheet import Sheet
from finial.files.toml_places import KeyPath
from finial.structure.rods.threads import next_thread_up, thread

USUAL_WASHER = 2.5
"""Outer diameter of a large washer, in diameters of its thread [-]; common practice (ISO 7093 has 3)."""
MOST_SCREWS = 12
_MILLIMETRE = 1e-3


def hardware_pulls(sheet: Sheet) -> Iterator[Tweak]:
    """Yield a pull for each small thing whose size the sheet gives."""
    yield from _rods(sheet)
    yield from _motor(sheet)
    yield from _dowels(sheet)
    yield from _eyes(sheet)
    yield from _roots(sheet)
    yield from _wires(sheet)
    yield from _batteries(sheet)


def _larger(kind: TweakKind, name: str, where: KeyPath, now: Quantity, step_m: float = _MILLIMETRE) -> Tweak:
    """Pull at a length, up to so many times what it is."""

    def sized(length_m: float) -> Changes:
        return {where: with_tolerance(metres, length_m, now.tolerance)}

    return tweak(kind, name, (now.value, MOST_TIMES * now.value, step_m), Dimension.LENGTH, sized)


def _rods(sheet: Sheet) -> Iterator[Tweak]:
    for index, rod in enumerate(sheet.rod):
        name = rod.name or rod.thread
        if rod.washer:
            yield _larger(TweakKind.WASHER, name, ("rod", index, "washer"), rod.washer)
        else:
            wide = metres(USUAL_WASHER * thread(rod.thread).diameter_m)
            yield _done(TweakKind.WASHER, name, ("rod", index, "washer"), None, wide)
        if rod.bears_on:
            place = ("rod", index, "bears_on", "thickness")
            yield _larger(TweakKind.BEARING, name, place, rod.bears_on.thickness)
        yield from _thread_up(TweakKind.THREAD, name, ("rod", index, "thread"), rod.thread)


def _thread_up(kind: TweakKind, name: str, where: KeyPath, now: str) -> Iterator[Tweak]:
    larger = next_thread_up(now)
    if larger is not None:
        yield _done(kind, name, where, now, larger)


def _done(kind: TweakKind, name: str, where: KeyPath, now: str | None, then: str) -> Tweak:
    """Pull at what is done or left: another thing of the tables, or one that was not there."""

    def changed(done: float) -> Changes:
        if done:
            return {where: then}
        return {} if now is None else {where: now}

    ends = {"now": 0.0, "most": 1.0, "step": 1.0}
    return Tweak(kind=kind, name=name, **ends, dimension=Dimension.RATIO, changes=changed, to=then)


def _motor(sheet: Sheet) -> Iterator[Tweak]:
    mount = sheet.motor
    if mount.thrust_plate:
        place = ("motor", "thrust_plate", "thickness")
        yield _larger(TweakKind.THRUST_PLATE, "", place, mount.thrust_plate.thickness)
    if mount.tube:
        yield _larger(TweakKind.TUBE_GLUE, "", ("motor", "tube", "length"), mount.tube.length)
    if mount.retainer:
        ends = float(mount.retainer.count), float(max(MOST_SCREWS, mount.retainer.count))
        yield _counted(TweakKind.SCREWS, "", ("motor", "retainer", "count"), ends)


def _counted(kind: TweakKind, name: str, where: KeyPath, ends: tuple[float, float]) -> Tweak:
    def counted(count: float) -> Changes:
        return {where: round(count)}

    return tweak(kind, name, (*ends, 1.0), Dimension.RATIO, counted)


def _dowels(sheet: Sheet) -> Iterator[Tweak]:
    for index, part in enumerate(sheet.part):
        if part.dowels:
            ends = float(part.dowels.count), MOST_TIMES * part.dowels.count
            yield _counted(TweakKind.DOWELS, part.name, ("part", index, "dowels", "count"), ends)


def _eyes(sheet: Sheet) -> Iterator[Tweak]:
    for index, item in enumerate(sheet.item):
        if item.eye:
            place = ("item", index, "eye")
            yield _larger(TweakKind.EYE_WASHER, item.name, (*place, "washer"), item.eye.washer)
            yield from _thread_up(TweakKind.EYE, item.name, (*place, "thread"), item.eye.thread)


def _roots(sheet: Sheet) -> Iterator[Tweak]:
    for index, fin in enumerate(sheet.fin):
        if fin.fixing and fin.fixing.depth:
            yield _larger(TweakKind.ROOT, fin.name, ("fin", index, "fixing", "depth"), fin.fixing.depth)


def _wires(sheet: Sheet) -> Iterator[Tweak]:
    """All pairs of wires of a set of fins at once, each by the same share."""
    for index, fin in enumerate(sheet.fin):
        if not fin.stays:
            continue
        places = {("fin", index, "stays", at): stay for at, stay in enumerate(fin.stays)}
        thick = {(*place, "diameter"): stay.diameter for place, stay in places.items()}
        taut = {(*place, "preload"): stay.preload for place, stay in places.items()}
        yield _shared(TweakKind.WIRE, fin.name, thick, metres)
        yield _shared(TweakKind.TAUT, fin.name, taut, newtons)
        yield _shared(TweakKind.SLACKER, fin.name, taut, newtons, most=1.0 / MOST_TIMES)


def _shared(kind: TweakKind, name: str, now: dict[KeyPath, Quantity], write: Callable[[float], str],
            most: float = MOST_TIMES) -> Tweak:  # fmt: skip
    """Pull at several quantities by one share of what each is."""

    def scaled(share: float) -> Changes:
        return {
            place: with_tolerance(write, share * one.value, share * one.tolerance)
            for place, one in now.items()
        }

    return tweak(kind, name, (1.0, most, 0.05), Dimension.RATIO, scaled)


def _batteries(sheet: Sheet) -> Iterator[Tweak]:
    for index, battery in enumerate(sheet.electronics.battery):

        def larger(times: float, at: int = index, now: Quantity = battery.capacity) -> Changes:
            return {("electronics", "battery", at, "capacity"): f"{times * now.value / 3.6:.0f} mAh"}

        ends = (1.0, MOST_TIMES, 0.1)
        yield tweak(TweakKind.BATTERY, battery.name, ends, Dimension.RATIO, larger)
