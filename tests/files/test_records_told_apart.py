"""A table of the sheet is found by its content: its hash, worked out once, never outlives what it read."""

import copy
import pickle

import pytest

from finial.core.units import Quantity
from finial.files.fields import Record


class Plate(Record):
    name: str
    across: Quantity
    holes: tuple[Quantity, ...] = ()


class Ring(Plate):
    pass


def plate(across_m: float = 0.08, **more) -> Plate:
    return Plate(name="plate", across=Quantity(value=across_m), **more)


def test_equal_tables_are_one_in_a_set_asked_before_or_not():
    first, second = plate(), plate()
    hash(first)
    assert first == second
    assert len({first, second}) == 1


@pytest.mark.parametrize(
    "other",
    [plate(0.09), plate(holes=(Quantity(value=0.01),)), Ring(name="plate", across=Quantity(value=0.08))],
    ids=["size", "holes", "table"],
)
def test_other_tables_are_told_apart(other):
    assert plate() != other
    assert hash(plate()) != hash(other)


def test_a_changed_copy_has_the_hash_of_what_it_became():
    first = plate()
    hash(first)
    changed = first.model_copy(update={"across": Quantity(value=0.09)})
    assert hash(changed) == hash(plate(0.09)) != hash(first)


@pytest.mark.parametrize("copied", [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one))])
def test_a_copy_works_its_hash_out_anew(copied):
    """Texts hash otherwise in another process: a hash that went along would be of none of its own."""
    first = plate()
    hash(first)
    other = copied(first)
    with pytest.raises(AttributeError):
        _ = other._own_hash
    assert other == first
    assert hash(other) == hash(first)
