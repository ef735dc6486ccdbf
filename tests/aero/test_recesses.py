"""Recesses in a side: bridged where they are short for their depth, steps where they are not."""

from dataclasses import replace

import numpy as np
import pytest

from finial.aero.crooked import drag_line_m
from finial.aero.drag.build_up import drag_build_up
from finial.aero.sections.outlines import regular_polygon, section_of, skin_of
from finial.aero.steps.ledges import outside_of
from finial.aero.steps.recesses import Edges, bridged, bridged_share

SIDE, START, WIDE = 0.1, 0.2, 0.04
BOX = SIDE / 2 * np.array([(1, -1), (1, 1), (-1, 1), (-1, -1)])


def notched(depth: float, wide: float = WIDE) -> np.ndarray:
    """A square with a notch amid its right side."""
    half, (x, y) = wide / 2, BOX.max(axis=0)
    floor = x - depth
    notch = [(x, -y), (x, -half), (floor, -half), (floor, half), (x, half)]
    return np.array([*notch, (x, y), (-x, y), (-x, -y)])


def tower(inner: np.ndarray, long: float):
    end = START + long
    rows = [(0.0, BOX), (START, BOX), (START, inner), (end, inner), (end, BOX), (0.8, BOX)]
    return skin_of([section_of(station, [outline]) for station, outline in rows])


def shares(inner: np.ndarray, long: float) -> tuple[float, float]:
    end = START + long
    return bridged(tower(inner, long), Edges(fore_m=(START, START), aft_m=(end, end)))


def drag(outside, skin):
    return drag_build_up(skin, (), mach=0.2, reynolds_per_m=5e6, outside=outside).power_off


@pytest.mark.parametrize(("depths", "share"), [(2.0, 1.0), (8.0, 1.0), (10.5, 0.5), (13.0, 0.0), (30.0, 0.0)])
def test_cavities_are_open_up_to_8_depths_and_closed_from_13(depths, share) -> None:
    assert bridged_share(depths) == pytest.approx(share)
    assert shares(notched(0.01), 0.01 * depths) == pytest.approx((share, share), abs=1e-6)


def test_the_depth_is_that_of_the_middle_of_a_floor() -> None:
    """On a round tower a flat floor lies deepest amid it: 5 mm there, 3 at its corners."""
    around = regular_polygon(96, 0.12)
    flat = around[~((around[:, 0] > 0.055) & (np.abs(around[:, 1]) < 0.0155))]
    radius = float(np.linalg.norm(around, axis=1).max())
    bearing = np.arctan2(flat[:, 1], flat[:, 0])
    start = int(np.argmin(np.where(bearing > 0, bearing, 9.0)))
    ring = np.concatenate([flat[start:], flat[:start], [(radius - 0.005, -0.015), (radius - 0.005, 0.015)]])
    rows = [(0.0, around), (0.2, around), (0.2, ring), (0.24, ring), (0.24, around), (0.8, around)]
    skin = skin_of([section_of(station, [outline]) for station, outline in rows])
    _, aft = bridged(skin, Edges(fore_m=(0.2, 0.2), aft_m=(0.24, 0.24)))
    assert aft > 0.5, "8 depths long by its middle, 13 by its corners"


def test_a_groove_all_round_is_no_recess() -> None:
    assert shares(0.8 * BOX, 0.05) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_what_takes_half_of_the_section_is_a_neck() -> None:
    """Notches of 0.3 of the section and less are recesses, of half of it necks."""
    wide = 0.8 * SIDE
    least, half = shares(notched(0.3 * SIDE, wide), 0.05), shares(notched(0.63 * SIDE, wide), 0.05)
    between = shares(notched(0.5 * SIDE, wide), 0.05)
    assert (min(least), max(half)) == (pytest.approx(1.0), 0.0)
    assert min(between) == pytest.approx(0.5, abs=0.02)


def test_a_bridged_recess_drags_a_twentieth_to_all_of_its_steps() -> None:
    """Three tenths of the two steps are 0.05 of its plan at five depths; published are 0.01 to 0.04."""
    skin = tower(notched(0.01), 0.05)
    outside = outside_of(skin)
    steps = replace(outside, faces=tuple(replace(face, bridged=0.0) for face in outside.faces))
    assert [round(face.bridged, 6) for face in outside.faces] == [0.0, 1.0, 1.0]
    less, free = drag(outside, skin), drag(steps, skin)
    alone = replace(steps, faces=steps.faces[:1])
    clean = drag(alone, skin)
    for end, share in (("low", 0.05), ("value", 0.3), ("high", 1.0)):
        taken = [getattr(one, end) - getattr(clean, end) for one in (less, free)]
        assert taken[0] / taken[1] == pytest.approx(share, abs=0.03)
    on_plan = (less.value - clean.value) * skin.reference_area_m2 / (0.05 * WIDE)
    assert 0.01 < on_plan < 0.08


def test_a_window_on_one_side_hardly_pulls_the_drag_aside() -> None:
    skin = tower(notched(0.01), 0.05)
    outside = outside_of(skin)
    steps = replace(outside, faces=tuple(replace(face, bridged=0.0) for face in outside.faces))
    build_up = drag_build_up(skin, (), mach=0.2, reynolds_per_m=5e6, outside=outside)
    alone = replace(steps, faces=steps.faces[:1])
    clean, less, free = (drag_line_m(skin, build_up, each)[0] for each in (alone, outside, steps))
    assert (less - clean) / (free - clean) == pytest.approx(0.3, abs=0.05)
