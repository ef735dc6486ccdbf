"""Parts that are kept: equal content is found again, other content never."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from finial.core.kept_parts import forget_all, kept, kept_as_read


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    length_m: float
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shape:
    corners_m: np.ndarray


def counted(most: int = 4):
    calls: list[object] = []

    @kept(most)
    def part(*given):
        calls.append(given)
        return np.array([float(len(calls))])

    return part, calls


def test_equal_content_is_computed_once():
    part, calls = counted()
    first = part(Entry(length_m=1.0), (np.zeros(2), "a"))
    assert part(Entry(length_m=1.0), (np.zeros(2), "a")) is first
    assert len(calls) == 1


@pytest.mark.parametrize(
    "other",
    [
        (Entry(length_m=1.1), (np.zeros(2), "a")),
        (Entry(length_m=1.0, name="b"), (np.zeros(2), "a")),
        (Entry(length_m=1.0), (np.array([0.0, 1e-300]), "a")),
        (Entry(length_m=1.0), (np.zeros((2, 1)), "a")),
        (Entry(length_m=1.0), (np.zeros(2, dtype=int), "a")),
        (Entry(length_m=1.0), (np.zeros(2), "b")),
        (Entry(length_m=1.0), (np.zeros(2),)),
    ],
)
def test_other_content_is_computed_anew(other):
    part, calls = counted()
    part(Entry(length_m=1.0), (np.zeros(2), "a"))
    part(*other)
    assert len(calls) == 2


def test_an_array_changed_in_place_is_other_content():
    part, calls = counted()
    values = np.zeros(2)
    part(values)
    values[0] = 1.0
    part(values)
    assert len(calls) == 2


def test_a_record_of_arrays_is_equal_only_to_itself():
    part, calls = counted()
    one = Shape(corners_m=np.zeros(2))
    part(one)
    part(one)
    part(Shape(corners_m=np.zeros(2)))
    assert len(calls) == 2


def test_what_is_kept_cannot_be_written_over():
    part, _ = counted()
    with pytest.raises(ValueError, match="read-only"):
        part(1)[0] = 5.0


def test_the_one_asked_for_longest_ago_goes_first():
    part, calls = counted(most=2)
    for one in (1, 2, 1, 3, 1):
        part(one)
    assert len(calls) == 3
    part(2)
    assert len(calls) == 4


def test_forgotten_parts_are_computed_anew():
    part, calls = counted()
    part(1)
    forget_all()
    part(1)
    assert len(calls) == 2


def test_what_cannot_be_told_apart_is_refused():
    part, _ = counted()
    with pytest.raises(TypeError):
        part({"a": 1})


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    fore: Entry
    aft: Entry
    other: Entry

    @property
    def longer(self) -> Entry:
        return max(self.fore, self.aft, key=lambda one: one.length_m)


FORE, AFT, OTHER = (Entry(length_m=length) for length in (1.0, 2.0, 3.0))
READ = Table(fore=FORE, aft=AFT, other=OTHER)


def counted_as_read(compute, most: int = 4):
    calls: list[object] = []

    @kept_as_read(most)
    def part(table, *given, **named):
        calls.append(given)
        return compute(table)

    return part, calls


def test_a_field_that_was_not_read_may_change():
    part, calls = counted_as_read(lambda table: (table.fore, table.aft))
    first = part(READ)
    assert part(replace(READ, other=AFT)) is first
    assert len(calls) == 1


@pytest.mark.parametrize("field", ["fore", "aft"])
def test_a_field_that_was_read_is_the_very_same_or_all_is_computed_anew(field):
    part, calls = counted_as_read(lambda table: (table.fore.length_m, table.aft.length_m))
    part(READ)
    equal = replace(READ, **{field: Entry(length_m=getattr(READ, field).length_m)})
    part(equal)
    assert len(calls) == 2
    assert part(replace(READ, **{field: OTHER})) != part(READ)


def test_what_decides_which_field_is_read_was_read_itself():
    part, _ = counted_as_read(lambda table: table.aft if table.fore.length_m > 1.5 else table.other)
    assert part(READ) is OTHER
    assert part(replace(READ, fore=AFT)) is AFT
    assert part(READ) is OTHER


def test_other_arguments_count_by_being_equal():
    part, calls = counted_as_read(lambda table: table.fore)
    for given, named in (
        ((1.0,), {}),
        ((1.0,), {}),
        ((2.0,), {}),
        ((1.0,), {"wait": 1}),
        ((1.0,), {"wait": 2}),
    ):
        part(READ, *given, **named)
    assert len(calls) == 4


def test_what_a_record_works_out_is_worked_out_again():
    part, calls = counted_as_read(lambda table: table.longer)
    assert part(READ) is AFT
    assert part(replace(READ, other=FORE)) is AFT
    assert len(calls) == 1
    assert part(replace(READ, fore=OTHER)) is OTHER


def test_parts_kept_as_read_are_forgotten_too_and_the_oldest_goes_first():
    part, calls = counted_as_read(lambda table: table.fore, most=1)
    part(READ)
    forget_all()
    part(READ)
    assert len(calls) == 2
    part(replace(READ, fore=AFT))
    part(READ)
    assert len(calls) == 4


def test_arrays_kept_as_read_cannot_be_written_over():
    part, _ = counted_as_read(lambda table: np.array([table.fore.length_m]))
    with pytest.raises(ValueError, match="read-only"):
        part(READ)[0] = 5.0
