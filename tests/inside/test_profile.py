"""The vehicle from the side, of outlines drawn by hand: areas that a ruler would give."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from finial.core.errors import OutsideRange
from finial.inside.cavity import Cavity
from finial.inside.profile import cut_through, ribbon, silhouette, telling_roll, thing_cut, thing_shadow
from finial.inside.things import Kind, Thing, lengthened, outline_m, placed_outline_m, thing_mesh

STATIONS = np.array([0.0, 0.1, 0.2])
THIN_M2 = 1e-5
"""A fiftieth of a millimetre along all the edges of these small outlines."""


def cavity(*skin) -> Cavity:
    regions = np.array(skin, dtype=object)
    none = np.array([shapely.Polygon()] * len(regions), dtype=object)
    return Cavity(
        stations_m=STATIONS[: len(regions)],
        length_m=0.2,
        parts=(),
        skin=regions,
        printed=none[None][:0],
        free=regions,
        free_edge=none,
        skin_edge=none,
    )


def thing(**changed) -> Thing:
    usual = {"name": "rod", "kind": Kind.ROD, "middle_m": 0.1, "length_m": 0.1, "across_m": 0.02}
    return Thing(**{**usual, **changed})


@pytest.mark.parametrize(
    ("rows", "area"),
    [
        ([[(-0.05, 0.05)]] * 3, 0.2 * 0.1),  # a tube
        ([[(0.0, 0.0)], [(-0.05, 0.05)], [(-0.05, 0.05)]], 0.1 * 0.1 / 2 + 0.1 * 0.1),  # a tip and a tube
        ([[(-0.05, -0.01), (0.01, 0.05)]] * 3, 2 * 0.2 * 0.04),  # two towers
        ([[], [(-0.05, 0.05)], [(-0.05, 0.05)]], 0.1 * 0.1 + 0.05 * 0.1 / 2),  # begins between two cuts
        ([[(-0.05, 0.05)], [(-0.05, 0.05)], []], 0.1 * 0.1 + 0.05 * 0.1 / 2),  # and ends so
        ([[], [], []], 0.0),
    ],
)
def test_a_ribbon_joins_the_cuts_by_straight_lines(rows, area) -> None:
    assert ribbon(STATIONS, rows).area == pytest.approx(area, abs=THIN_M2)


def test_a_piece_that_forks_is_shared_out_in_the_middle_of_the_gap() -> None:
    """100 mm become two of 40 with 20 between: each half of 50 narrows to 40 on its own side."""
    forked = ribbon(np.array([0.0, 0.1]), [[(-0.05, 0.05)], [(-0.05, -0.01), (0.01, 0.05)]])
    assert forked.area == pytest.approx(2 * 0.1 * (0.05 + 0.04) / 2, abs=THIN_M2)
    assert not forked.contains(shapely.Point(0.09, 0.0))
    assert forked.contains(shapely.Point(0.09, 0.02))
    assert forked.contains(shapely.Point(0.09, -0.02))


def test_a_piece_that_meets_nothing_ends_half_way_but_sharply_at_a_ledge() -> None:
    ledge = np.array([0.0, 0.1, 0.1001])
    gone = ribbon(ledge, [[(-0.05, 0.05)], [(-0.05, 0.05)], []])
    assert gone.bounds[2] == pytest.approx(0.1, abs=1e-6)
    faded = ribbon(STATIONS, [[(-0.05, 0.05)], [(-0.05, 0.05)], []])
    assert faded.bounds[2] == pytest.approx(0.15, abs=1e-6)
    begun = ribbon(STATIONS, [[], [(-0.05, 0.05)], [(-0.05, 0.05)]])
    assert begun.bounds[0] == pytest.approx(0.05, abs=1e-6)


def test_the_outline_is_as_wide_as_the_skin_seen_from_there() -> None:
    """A box of 100 by 40 mm, 200 mm long: broad from roll 0, narrow from roll 90, corner on from between."""
    box = cavity(*[shapely.box(-0.05, -0.02, 0.05, 0.02)] * 3)
    assert silhouette(box, 0.0).area == pytest.approx(0.2 * 0.1, abs=THIN_M2)
    assert silhouette(box, math.pi / 2).area == pytest.approx(0.2 * 0.04, abs=THIN_M2)
    corner = 2 * (0.05 * math.cos(0.5) + 0.02 * math.sin(0.5))
    assert silhouette(box, 0.5).area == pytest.approx(0.2 * corner, abs=THIN_M2)


def test_a_plane_cuts_both_walls_of_a_tube_and_leaves_the_bore() -> None:
    wall = shapely.box(-0.05, -0.05, 0.05, 0.05).difference(shapely.box(-0.04, -0.04, 0.04, 0.04))
    tube = cavity(*[wall] * 3)
    cut = cut_through(tube, tube.skin, 0.0)
    assert cut.area == pytest.approx(2 * 0.2 * 0.01, abs=THIN_M2)
    assert not cut.contains(shapely.Point(0.1, 0.0))
    assert silhouette(tube, 0.0).area == pytest.approx(0.2 * 0.1, abs=THIN_M2)


def test_a_plane_beside_a_region_cuts_nothing() -> None:
    aside = cavity(*[shapely.box(-0.05, 0.01, 0.05, 0.02)] * 3)
    assert cut_through(aside, aside.skin, 0.0).area == 0.0
    assert cut_through(aside, aside.skin, math.pi / 2).area == pytest.approx(0.2 * 0.01, abs=THIN_M2)


def test_a_rod_off_the_axis_is_cut_along_a_chord() -> None:
    """Round, 20 mm, 6 mm beside the plane: chord 2 sqrt(10^2 - 6^2) = 16 mm; 100 mm long."""
    beside = thing(offset_m=(0.0, 0.006))
    assert thing_cut(beside, 0.0).area == pytest.approx(0.1 * 0.016, rel=0.01)
    assert thing_cut(beside, math.pi / 2).area == pytest.approx(0.1 * 0.02, rel=0.01)
    assert thing_cut(thing(offset_m=(0.0, 0.011)), 0.0).area == 0.0
    stations = thing_cut(beside, 0.0).bounds[0::2]
    assert stations == pytest.approx((0.05, 0.15))


def test_a_tube_is_cut_in_two_strips_and_seen_as_one() -> None:
    tube = thing(bore_m=0.012)
    assert thing_cut(tube, 0.3).area == pytest.approx(0.1 * (0.02 - 0.012), rel=0.01)
    assert thing_shadow(tube, 0.3).area == pytest.approx(0.1 * 0.02, rel=0.01)


def test_a_box_is_as_wide_as_its_side_in_that_plane() -> None:
    sled = thing(across_m=0.04, depth_m=0.01)
    assert thing_cut(sled, 0.0).area == pytest.approx(0.1 * 0.04)
    assert thing_cut(sled, math.pi / 2).area == pytest.approx(0.1 * 0.01)
    turned = replace(sled, roll_rad=math.pi / 2)
    assert thing_cut(turned, 0.0).area == pytest.approx(0.1 * 0.01)
    assert thing_shadow(sled, math.pi / 4).area == pytest.approx(0.1 * (0.04 + 0.01) / math.sqrt(2))


def test_the_plane_that_tells_most_cuts_what_stands_aside() -> None:
    body = cavity(*[shapely.Point(0.0, 0.0).buffer(0.1)] * 3)
    aside = thing(offset_m=(0.05 * math.cos(1.0), 0.05 * math.sin(1.0)))
    assert telling_roll(body, [aside], also_rad=[1.0]) == pytest.approx(1.0)
    # Without a hint the nearest of every fifteen degrees: 60 degrees passes 2.4 mm beside its middle.
    assert telling_roll(body, [aside]) == pytest.approx(math.radians(60.0))
    assert telling_roll(body, []) == 0.0


def test_of_equal_cuts_the_larger_outline_wins_before_screws_do() -> None:
    box = cavity(*[shapely.box(-0.02, -0.08, 0.02, 0.08)] * 3)
    screw = thing(name="screw", kind=Kind.SCREW, across_m=0.004, offset_m=(0.015, 0.0))
    assert telling_roll(box, [screw]) == pytest.approx(math.radians(75.0))
    round_ = cavity(*[shapely.Point(0.0, 0.0).buffer(0.1)] * 3)
    assert telling_roll(round_, [replace(screw, offset_m=(0.0, 0.05))]) == pytest.approx(math.radians(90.0))


def test_a_round_thing_is_drawn_round_its_size() -> None:
    """Round things are prisms round their circle, bores prisms inside theirs: neither hides a touch."""
    outer, bore = outline_m(thing(bore_m=0.01)), outline_m(thing(bore_m=0.01), hole=True)
    assert np.linalg.norm(outer, axis=1).min() > 0.01
    assert np.linalg.norm((outer + np.roll(outer, 1, axis=0)) / 2, axis=1) == pytest.approx(0.01)
    assert np.linalg.norm(bore, axis=1) == pytest.approx(0.005)


def test_a_box_stands_where_its_offset_and_roll_put_it() -> None:
    corners = placed_outline_m(thing(across_m=0.04, depth_m=0.02, offset_m=(0.1, 0.2), roll_rad=math.pi / 2))
    assert corners.min(axis=0) == pytest.approx([0.09, 0.18])
    assert corners.max(axis=0) == pytest.approx([0.11, 0.22])


def test_a_leaning_thing_reaches_farther_along_and_keeps_its_middle() -> None:
    """100 mm by 20 mm at 30 degrees: 100 cos 30 + 20 sin 30 along the axis, for a box."""
    leaning = thing(across_m=0.02, depth_m=0.02, tilt_rad=math.radians(30.0))
    half = (0.1 * math.cos(math.radians(30.0)) + 0.02 * 0.5) / 2
    assert leaning.span_m == pytest.approx((0.1 - half, 0.1 + half))
    corners = thing_mesh(leaning).vertices_m
    assert corners.mean(axis=0) == pytest.approx([-0.1, 0.0, 0.0], abs=1e-12)
    fore = corners[corners[:, 0].argmax()]
    assert fore[1] > 0.0, "its fore end leans to roll 0"
    assert leaning.forward == pytest.approx([math.cos(math.radians(30.0)), 0.5, 0.0])


def test_a_thing_that_lies_right_along_its_first_side_is_still_square() -> None:
    lying = thing(across_m=0.02, depth_m=0.01, tilt_rad=math.pi / 2)
    extent = np.ptp(thing_mesh(lying).vertices_m, axis=0)
    assert extent == pytest.approx([0.02, 0.1, 0.01], abs=1e-9)


def test_a_thing_grows_along_its_own_axis_to_the_stations_asked_for() -> None:
    longer = lengthened(thing(), 0.0, 0.3)
    assert longer.span_m == pytest.approx((0.0, 0.3))
    assert lengthened(thing(), 0.08, 0.12).span_m == pytest.approx((0.05, 0.15)), "it never shrinks"
    leaning = lengthened(thing(tilt_rad=math.radians(30.0)), 0.0, 0.2)
    assert leaning.span_m == pytest.approx((0.0, 0.2), abs=1e-3)
    # More ahead than behind: the middle moves forward, and with the lean towards roll 0.
    ahead = lengthened(thing(tilt_rad=math.radians(30.0)), 0.0, 0.15)
    assert ahead.middle_m < 0.1
    assert ahead.offset_m[0] == pytest.approx((0.1 - ahead.middle_m) * math.tan(math.radians(30.0)))


@pytest.mark.parametrize(
    "change",
    [
        {"length_m": 0.0},
        {"across_m": -1.0},
        {"across_m": math.nan},
        {"bore_m": 0.02},
        {"bore_m": -0.001},
        {"depth_m": -0.1},
    ],
)
def test_what_is_no_solid_is_refused(change) -> None:
    with pytest.raises(OutsideRange, match="rod"):
        thing(**change)


def test_volume_reach_and_shape() -> None:
    assert thing(bore_m=0.01).volume_m3 == pytest.approx(math.pi / 4 * (0.02**2 - 0.01**2) * 0.1)
    box = thing(across_m=0.03, depth_m=0.04)
    assert box.volume_m3 == pytest.approx(0.03 * 0.04 * 0.1)
    assert (box.reach_m, thing().reach_m) == pytest.approx((0.025, 0.01))
    assert not box.is_round
