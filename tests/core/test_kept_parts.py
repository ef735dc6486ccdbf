"""Parts that are kept: equal content is found again, other content never."""

from dataclasses import dataclass

import numpy as np
import pytest

from finial.core.kept_parts import forget_all, kept


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
