"""Names that only strength reads: how fins, rods, motor and joints are held, and with what."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from finial.assemble.vehicle.materials import own_material, sheet_material
from finial.files.sheet import Sheet
from finial.files.sheet_body import FinEntry, ItemEntry
from finial.files.sheet_motor import MotorMountEntry
from finial.materials.glue import glue
from finial.structure.rods.threads import thread

Named = tuple[tuple[str | int, ...], str, Callable[[str], Any]]


def strength_names(sheet: Sheet) -> Iterator[Named]:
    """Every such name, where it stands, and how to look it up."""
    look_up = partial(sheet_material, sheet)
    for index, own in enumerate(sheet.material):
        field = "like" if own.like else "name"
        yield ("material", index, field), own.like or own.name, lambda _name, own=own: own_material(own)
    for index, part in enumerate(sheet.part):
        if part.dowels:
            yield ("part", index, "dowels", "material"), part.dowels.material, look_up
    for index, item in enumerate(sheet.item):
        yield from _item_names(index, item, look_up)
    for index, rod in enumerate(sheet.rod):
        if rod.bears_on:
            yield ("rod", index, "bears_on", "material"), rod.bears_on.material, look_up
    for index, fin in enumerate(sheet.fin):
        yield from _fin_names(index, fin, look_up)
    yield from _motor_names(sheet.motor, look_up)
    if sheet.guide and sheet.guide.screw:
        yield ("guide", "screw"), sheet.guide.screw, thread
    if sheet.guide and sheet.guide.holds_in:
        yield ("guide", "holds_in"), sheet.guide.holds_in, look_up


def _item_names(index: int, item: ItemEntry, look_up: Callable[[str], Any]) -> Iterator[Named]:
    if item.material:
        yield ("item", index, "material"), item.material, look_up
    if item.glue:
        yield ("item", index, "glue"), item.glue, glue
    if item.eye:
        yield ("item", index, "eye", "thread"), item.eye.thread, thread
        yield ("item", index, "eye", "material"), item.eye.material, look_up


def _fin_names(index: int, fin: FinEntry, look_up: Callable[[str], Any]) -> Iterator[Named]:
    if fin.fixing and fin.fixing.material:
        yield ("fin", index, "fixing", "material"), fin.fixing.material, look_up
    if fin.fixing and fin.fixing.glue:
        yield ("fin", index, "fixing", "glue"), fin.fixing.glue, glue
    for number, stay in enumerate(fin.stays):
        yield ("fin", index, "stays", number, "material"), stay.material, look_up


def _motor_names(motor: MotorMountEntry, look_up: Callable[[str], Any]) -> Iterator[Named]:
    if motor.thrust_plate:
        yield ("motor", "thrust_plate", "material"), motor.thrust_plate.material, look_up
    if motor.tube:
        yield ("motor", "tube", "glue"), motor.tube.glue, glue
    if motor.retainer:
        yield ("motor", "retainer", "screw"), motor.retainer.screw, thread
        yield ("motor", "retainer", "material"), motor.retainer.material, look_up
        if motor.retainer.holds_in:
            yield ("motor", "retainer", "holds_in"), motor.retainer.holds_in, look_up
