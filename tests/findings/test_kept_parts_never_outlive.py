"""What is kept between two answers never outlives what it read, whatever in the sheet moves."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import changed
from finial.core.kept_parts import forget_all
from finial.core.units import Quantity
from finial.files.fields import Record
from finial.findings.check import load, readiness
from finial.findings.readiness import Depth
from finial.report.json_records import to_plain

EVERY_KEY = Path(__file__).parents[2] / "examples" / "every-key" / "every-key.toml"
SAMPLES = 12


def moved_places(thing: object, where: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple, object]]:
    """Every number of a sheet by its place, and it a little larger."""
    if isinstance(thing, Quantity):
        yield where, Quantity(value=1.003 * thing.value + 1e-5, tolerance=1.01 * thing.tolerance)
    elif isinstance(thing, tuple):
        for number, one in enumerate(thing):
            yield from moved_places(one, (*where, number))
    elif isinstance(thing, Record):
        for name in type(thing).model_fields:
            yield from moved_places(getattr(thing, name), (*where, name))


def kind_of(where: tuple) -> tuple:
    """The key, whichever row it stands in."""
    return tuple(step for step in where if isinstance(step, str))


@pytest.fixture(scope="module")
def vehicle():
    return load(EVERY_KEY)


def answers(vehicle):
    return to_plain(readiness(vehicle, depth=Depth.QUICK), full=True)


def moved_vehicles(vehicle):
    """The vehicle with one number moved, a few keys of the sheet drawn from all that take another number."""
    places = {kind_of(where): (where, value) for where, value in moved_places(vehicle.sheet)}
    assert len(places) > 150
    for where, value in random.Random(5).sample(list(places.values()), SAMPLES):
        # A root of fins stands on the skin, and an event has one trigger.
        if not {"outline", "event"} & set(where):
            yield where, changed(vehicle, {where: value})


def test_after_any_change_the_answer_is_the_one_computed_afresh(vehicle):
    as_written = answers(vehicle)
    moved = [(where, one, answers(one)) for where, one in moved_vehicles(vehicle)]
    assert sum(found != as_written for _, _, found in moved) >= SAMPLES / 3
    for where, one, found in moved:
        forget_all()
        assert found == answers(one), where
