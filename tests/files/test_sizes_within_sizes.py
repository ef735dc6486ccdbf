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


def with_fixing(**fixing):
    return read_changed(("fin", 0, "fixing"), fixing)


@pytest.mark.parametrize(
    ("fixing", "key"),
    [
        ({"kind": "tab", "depth": "22 mm", "wall": "3 mm"}, "wall"),
        ({"kind": "tab", "depth": "22 mm", "width": "30 mm"}, "width"),
        ({"kind": "tab", "depth": "22 mm", "material": "PLA"}, "material"),
        ({"kind": "tab", "depth": "22 mm", "washer": "9 mm"}, "washer"),
        ({"kind": "slot", "bolts": ["20 mm"]}, "bolts"),
        ({"kind": "bolts", "depth": "22 mm"}, "depth"),
        ({"kind": "stiff", "wall": "3 mm"}, "wall"),
    ],
)
def test_what_a_fixing_is_not_computed_with_is_refused(fixing: dict[str, object], key: str) -> None:
    with pytest.raises(BuildSheetError, match="computed with") as refused:
        with_fixing(**fixing)
    assert f"fin[1].fixing.{key}" in str(refused.value)


@pytest.mark.parametrize(
    "fixing",
    [
        {"kind": "tab", "depth": "22 mm", "material": "PETG", "glue": "epoxy on print"},
        {"kind": "slot", "depth": "12 mm", "wall": "2 mm", "width": "50 mm", "material": "PETG"},
        {"kind": "fillet", "depth": "6 mm", "wall": "2 mm", "width": "50 mm", "material": "PETG"},
        {"kind": "bolts", "bolts": ["20 mm"], "washer": "9 mm"},
        {"kind": "stiff"},
    ],
)
def test_what_a_fixing_is_computed_with_is_read(fixing: dict[str, object]) -> None:
    assert with_fixing(**fixing).sheet.fin[0].fixing


MOUNT = {"across": "59 mm", "bore": "54.5 mm", "stations": ["790 mm", "1192 mm"]}
GLUED = {"glue": "epoxy on metal or G10", "diameter": "59 mm", "length": "300 mm"}


@pytest.mark.parametrize(
    ("place", "value", "at"),
    [
        (("motor", "takes"), "55 mm", "motor.takes"),
        (("motor", "room"), "1206 mm", "motor.room"),
        (("motor", "tube"), {**GLUED, "diameter": "66 mm"}, "motor.tube.diameter"),
        (("motor", "tube"), {**GLUED, "diameter": "52 mm"}, "motor.tube.diameter"),
        (("motor", "tube"), {**GLUED, "length": "403 mm"}, "motor.tube.length"),
        (("recovery", "bay", 0, "mouth"), "77 mm", "recovery.bay[1].mouth"),
        (("rod", 0, "supports"), [], "rod[1].supports"),
    ],
)
def test_a_size_beyond_the_thing_it_is_of_is_refused(place, value, at: str) -> None:
    with pytest.raises(BuildSheetError) as refused:
        read_changed(place, value)
    assert at in str(refused.value)


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("motor", "takes"), "54.5 mm"),
        (("motor", "room"), "1205 mm"),
        (("motor", "tube"), {**GLUED, "diameter": "64 mm", "length": "402 mm"}),
        (("recovery", "bay", 0, "mouth"), "76 mm"),
        (("rod", 0, "supports"), ["700 mm"]),
    ],
)
def test_a_size_at_its_limit_is_read(place, value) -> None:
    assert read_changed(place, value)
