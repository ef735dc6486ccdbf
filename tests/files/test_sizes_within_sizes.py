"""Sizes under ``[motor]`` that lie within one another: refused with place and slip, kept at the limit."""

import copy
from dataclasses import replace
from pathlib import Path

import pytest

from finial.core.errors import BuildSheetError
from finial.files.sheet import sheet_from
from finial.files.source import read_toml

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


def read_with(table: str, **sizes: str):
    source = read_toml(SKERRY)
    motor = source.values["motor"]
    motor = {**motor, table: {**motor[table], **sizes}}
    return sheet_from(replace(source, values={**source.values, "motor": motor}))


@pytest.mark.parametrize(
    ("table", "sizes", "key"),
    [
        ("mount", {"bore": "59 mm"}, "bore"),
        ("mount", {"bore": "545 mm"}, "bore"),
        ("thrust_plate", {"hole": "90 mm"}, "hole"),
        ("thrust_plate", {"held_at": "9 mm"}, "hole"),
        ("thrust_plate", {"across": "55 mm"}, "held_at"),
        ("thrust_plate", {"held_at": "111 mm"}, "held_at"),
    ],
)
def test_what_cannot_lie_within_is_refused(table: str, sizes: dict[str, str], key: str) -> None:
    with pytest.raises(BuildSheetError) as refused:
        read_with(table, **sizes)
    assert f"motor.{table}.{key}" in str(refused.value)
    assert "another unit" in str(refused.value)


@pytest.mark.parametrize(
    ("table", "sizes"),
    [
        ("mount", {"bore": "58.9 mm"}),
        ("thrust_plate", {"hole": "89 mm"}),
        ("thrust_plate", {"held_at": "110 mm"}),
    ],
)
def test_what_just_does_is_read(table: str, sizes: dict[str, str]) -> None:
    assert read_with(table, **sizes).motor


def read_changed(place: tuple[str, ...], value):
    source = read_toml(SKERRY)
    values = copy.deepcopy(source.values)
    table = values
    for step in place[:-1]:
        table = table[step]
    table[place[-1]] = value
    return sheet_from(replace(source, values=values))


@pytest.mark.parametrize(
    ("place", "value", "at"),
    [
        (("motor", "mount", "stations"), ["7900 mm", "1192 mm"], "motor.mount.stations"),
        (("motor", "mount", "stations"), ["790 mm", "790 mm"], "motor.mount.stations"),
    ],
)
def test_a_tube_that_ends_before_it_begins_is_refused(place, value, at: str) -> None:
    with pytest.raises(BuildSheetError) as refused:
        read_changed(place, value)
    assert at in str(refused.value)
