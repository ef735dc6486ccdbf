"""Entries put into a TOML text and taken out again: what it means changes there alone, comments stay."""

import tomllib
from pathlib import Path

import pytest

from finial.core.errors import OutsideRange
from finial.files.entries import with_entry, without
from finial.files.source import toml_from

PATH = Path("tower.toml")
IN_LINES = """name = "T" # of the file

[[part]]
name = "low"      # of low
tiers = [
  # above the first
  { outline = "circle", across = "1 mm", height = "2 mm" }, # of the first
  { outline = "octagon", across = "3 mm", height = "4 mm", roof = "dome" }
]
"""
HEADED = """name = "T"

[[part]]
name = "low"

# above the first
[[part.tiers]]
outline = "circle"  # of the first
across = "1 mm"

[[part.tiers]]
outline = "octagon"
ledges = [{ out = "1 mm", height = "1 mm" }]

[[part]]
name = "high"
tiers = [{ outline = "circle" }, { outline = "square" }]
"""
NEW = {"outline": "hexagon", "height": "9 mm"}


def outlines(text: str, part: int = 0) -> list[str]:
    return [one["outline"] for one in tomllib.loads(text)["part"][part]["tiers"]]


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("told", [IN_LINES, IN_LINES.replace('"dome" }', '"dome" }, # of the last'), HEADED])
@pytest.mark.parametrize("index", [0, 1, 2, 7])
def test_a_storey_comes_where_it_is_wanted_and_goes_again(told: str, index: int, newline: str) -> None:
    text = told.replace("\n", newline)
    more = with_entry(toml_from(PATH, text), ("part", 0, "tiers"), index, NEW)
    wanted = ["circle", "octagon"]
    wanted.insert(index, "hexagon")
    assert outlines(more) == wanted
    assert more.count("#") == text.count("#")
    assert more.count(newline) == more.count("\n") if newline == "\r\n" else "\r" not in more
    again = without(toml_from(PATH, more), ("part", 0, "tiers", min(index, 2)))
    assert tomllib.loads(again) == tomllib.loads(text)
    assert again.count("#") == text.count("#")


def test_every_entry_of_one_line_goes_alone() -> None:
    source = toml_from(PATH, HEADED)
    assert outlines(without(source, ("part", 1, "tiers", 0)), 1) == ["square"]
    assert 'tiers = [{ outline = "circle" }]' in without(source, ("part", 1, "tiers", 1))


def test_a_comment_beside_what_goes_goes_with_it_and_the_one_above_stays() -> None:
    text = without(toml_from(PATH, HEADED), ("part", 0, "tiers", 0))
    assert "# above the first" in text
    assert "# of the first" not in text
    assert outlines(text) == ["octagon"]


def test_a_part_goes_with_all_that_is_in_it_and_comes_at_the_end() -> None:
    text = without(toml_from(PATH, HEADED), ("part", 0))
    assert [one["name"] for one in tomllib.loads(text)["part"]] == ["high"]
    more = with_entry(toml_from(PATH, HEADED), ("part",), 2, {"name": "top", "tiers": [NEW]})
    assert [one["name"] for one in tomllib.loads(more)["part"]] == ["low", "high", "top"]
    between = with_entry(toml_from(PATH, HEADED), ("part",), 1, {"name": "mid", "tiers": [NEW]})
    assert [one["name"] for one in tomllib.loads(between)["part"]] == ["low", "mid", "high"]
    assert outlines(between) == ["circle", "octagon"]


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (HEADED, ("part", 0, "tiers", 0, "across")),
        (HEADED, ("part", 0, "tiers", 1, "ledges", 0, "out")),
        (HEADED, ("part", 0, "tiers", 1, "ledges", 0, "height")),
        (IN_LINES, ("part", 0, "tiers", 1, "roof")),
        (IN_LINES, ("part", 0, "tiers", 0, "outline")),
        (IN_LINES, ("part", 0, "name")),
    ],
)
def test_a_key_goes_alone(text: str, path: tuple) -> None:
    left = tomllib.loads(without(toml_from(PATH, text), path))
    wanted = tomllib.loads(text)
    owner = wanted
    for step in path[:-1]:
        owner = owner[step]
    del owner[path[-1]]
    assert left == wanted


def test_a_list_that_is_not_there_begins() -> None:
    ledge = {"out": "1 mm", "height": "2 mm"}
    for text in (IN_LINES, HEADED):
        more = with_entry(toml_from(PATH, text), ("part", 0, "tiers", 0, "ledges"), 0, ledge)
        assert tomllib.loads(more)["part"][0]["tiers"][0]["ledges"] == [ledge]


def test_what_is_not_there_or_stands_apart_is_refused() -> None:
    with pytest.raises(OutsideRange, match=r"part\[3\] is not in the file"):
        without(toml_from(PATH, HEADED), ("part", 2))
    apart = '[[part]]\nname = "a"\n\n[other]\nkey = 1\n\n[[part.tiers]]\noutline = "circle"\n'
    with pytest.raises(OutsideRange, match="only an editor"):
        without(toml_from(PATH, apart), ("part", 0))
