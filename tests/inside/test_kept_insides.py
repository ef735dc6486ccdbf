"""The inside of odd vehicles with bad ends as it was kept: what stands where, meets, goes in and out, shows.

After a change that is meant: ``PYTHONPATH=src:tests python tests/inside/test_kept_insides.py``.
"""

import math
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from bad_ends import bad_end
from kept_answers import Kept, hold, keep, kept_of

from finial.assemble.inside.study import inside_result
from finial.assemble.vehicle.fins import fin_sets
from finial.core.estimates import exact
from finial.inside.cavity import Cavity
from finial.inside.drawn import holes_beside_axis, motor_room, rooms_on_axis
from finial.inside.profile import cut_through, silhouette, thing_cut, thing_shadow
from finial.inside.things import Thing
from finial.inside.walls import drawn_walls

KEPT = Path(__file__).with_suffix(".json")
NAMES = ("every-key", "buoy-tiers", "phone-box")
ROLLS = (0.0, 0.4, math.pi / 2)


def inside(name: str) -> Kept:
    vehicle = bad_end(name)
    found = inside_result(vehicle, fin_sets(vehicle), balance_m=exact(0.5), lift_off_kg=5.0)
    told = {one: getattr(found, one) for one in found.__slots__ if one != "cavity"}
    return kept_of({**told, "drawn": _drawn(found.cavity), "seen": _seen(found.cavity, found.things)})


def _drawn(cavity: Cavity) -> dict[str, object]:
    return {
        "areas": {name: _areas(getattr(cavity, name)) for name in ("skin", "free")},
        "printed": [_areas(row) for row in cavity.printed],
        "axis": rooms_on_axis(cavity),
        "motor": motor_room(cavity),
        "holes": holes_beside_axis(cavity),
        "walls": drawn_walls(cavity),
        "stations": cavity.stations_m,
        "doubts": cavity.doubts,
    }


def _areas(regions: object) -> list[float]:
    return [float(getattr(one, "area", 0.0)) for one in np.ravel(np.asarray(regions, dtype=object))]


def _seen(cavity: Cavity, things: tuple[Thing, ...]) -> dict[str, object]:
    """What planes through the axis cut, as areas and edges."""
    return {
        "outline": [_sizes(silhouette(cavity, roll)) for roll in ROLLS],
        "cut": [_sizes(cut_through(cavity, row, ROLLS[1])) for row in cavity.printed],
        "things": [_sizes(thing_cut(one, roll)) for one in things for roll in ROLLS],
        "shadows": [_sizes(thing_shadow(one, ROLLS[1])) for one in things],
    }


def _sizes(region: object) -> list[float]:
    return [float(getattr(region, "area", 0.0)), float(getattr(region, "length", 0.0))]


@pytest.mark.parametrize("name", NAMES)
def test_the_inside_is_the_one_kept(name: str) -> None:
    hold(KEPT, name, inside(name))


if __name__ == "__main__":
    keep(KEPT, {name: partial(inside, name) for name in NAMES})
