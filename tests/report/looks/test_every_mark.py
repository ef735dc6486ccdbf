"""Every picture of the invented vehicle as a whole.

That its curves stand where the axes say is measured in ``test_read_back.py``; here stays what was looked at
beside them: keys, labels, strokes, and the places of words.
"""

from pathlib import Path

import pytest
from report.as_drawn import same_as_drawn

HERE = Path(__file__).parent / "drawn"
LARGE = ("flight_traces", "tracks")
"""Curves of a thousand points."""
NAMES = (
    *("inside", "side_view", "margin_by_angle", "pressure_by_roll", "margin-map.svg", "air-load.svg"),
    *("drift_plan", "firing_paths", "body_loads", "landings", "shares", "spread", "opening", "pressure"),
    *("tension", "zipper", "front", "fin-modes", "fin-sweep", "fin-envelope", "fin-stays", "strength-loads"),
    *("reserves", "rods"),
)
NO_UNITS = ("margin-map.svg", "zipper", "shares", "spread", "rods", "firing_paths", "fin-modes")
"""Pictures without a number in a unit that differs."""


def test_every_picture_is_kept(drawn):
    written_alike = {name for name in drawn if name.endswith(".svg")} - {"margin-map.svg", "air-load.svg"}
    assert set(drawn) == {*NAMES, *LARGE, *written_alike}


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_is_as_it_was_looked_at(name, drawn):
    same_as_drawn(drawn[name], HERE / f"{name.removesuffix('.svg')}.svg")


@pytest.mark.parametrize("name", NAMES)
def test_so_it_is_with_us_units(name, drawn, drawn_us):
    if name in NO_UNITS:
        assert drawn_us[name] == drawn[name]
    else:
        same_as_drawn(drawn_us[name], HERE / f"{name.removesuffix('.svg')}-us.svg")
