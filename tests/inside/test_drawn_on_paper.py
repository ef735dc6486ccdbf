"""Rooms on the axis and holes beside it, of cuts whose free regions are drawn by hand."""

import math

import numpy as np
import pytest
import shapely

from finial.inside.cavity import Cavity
from finial.inside.drawn import holes_beside_axis, motor_room, rooms_on_axis


def cut(rows, length_m=None):
    """Cut a body where told: a station, and the radius of the free disc about the axis there [mm]."""
    stations = np.array([station for station, _ in rows]) / 1e3
    free = [one if isinstance(one, shapely.Geometry) else disc(one) for _, one in rows]
    return cavity(stations, free, length_m or stations[-1])


def cavity(stations_m, free, length_m):
    regions = np.array(free, dtype=object)
    edges = np.array([region.boundary for region in free], dtype=object)
    return Cavity(
        stations_m=stations_m,
        length_m=length_m,
        parts=(),
        skin=regions,
        printed=np.empty((0, len(free)), dtype=object),
        free=regions,
        free_edge=edges,
        skin_edge=edges,
    )


def disc(radius_mm, y_mm=0.0, z_mm=0.0):
    if radius_mm == 0.0:
        return shapely.Polygon()
    return shapely.Point(y_mm / 1e3, z_mm / 1e3).buffer(radius_mm / 1e3, quad_segs=200)


def told(rooms):
    return [
        (round(1e3 * one.fore_m, 3), round(1e3 * one.aft_m, 3), round(1e3 * one.across_m), one.is_round)
        for one in rooms
    ]


def test_rooms_end_where_it_closes_and_where_a_ledge_is():
    """Walls at 100 and 100.1 mm are a ledge of 20 %; from 200 to 300 mm it is closed; 4.9 mm is no room."""
    rows = [(0, 4.9), (20, 10), (100, 10), (100.1, 12), (200, 12), (250, 0), (300, 30), (400, 30)]
    assert told(rooms_on_axis(cut(rows))) == [
        (20.0, 100.0, 20, True),
        (100.1, 200.0, 24, True),
        (300.0, 400.0, 60, True),
    ]
    # A step of 2 % parts nothing, nor do two cuts that stand apart.
    same = [(20, 10), (100, 10), (100.1, 10.2), (200, 10.2), (220, 12), (300, 12)]
    assert told(rooms_on_axis(cut(same))) == [(20.0, 300.0, 20, True)]
    # One cut alone is no room.
    assert rooms_on_axis(cut([(0, 0), (50, 10), (100, 0)])) == ()


def test_a_square_room_is_not_round():
    square = shapely.box(-0.02, -0.02, 0.02, 0.02)
    assert told(rooms_on_axis(cut([(0, square), (100, square)]))) == [(0.0, 100.0, 40, False)]


def test_a_bore_ends_where_a_cone_begins():
    """Ten millimetres ahead of its end it is four tenths wider: two rooms, either way round."""
    cone = [(0, 25), (40, 18), (46, 14), (50, 10), (80, 10), (120, 10)]
    assert told(rooms_on_axis(cut(cone))) == [(0.0, 46.0, 28, True), (50.0, 120.0, 20, True)]
    turned = [(120 - station, radius) for station, radius in reversed(cone)]
    assert told(rooms_on_axis(cut(turned))) == [(0.0, 70.0, 20, True), (74.0, 120.0, 28, True)]
    # A bore of 49 mm is too short to be one.
    short = [(0, 25), (40, 18), (46, 14), (50, 10), (80, 10), (99, 10)]
    assert told(rooms_on_axis(cut(short))) == [(0.0, 99.0, 20, True)]


def test_the_motor_goes_in_as_far_as_its_bore_is_clear():
    """A bore of 54 mm from 300 to 500 mm, and a wall ahead of it."""
    found = motor_room(cut([(0, 0), (100, 30), (200, 30), (290, 0), (300, 27), (400, 27), (500, 27)]))
    assert (round(found.across_m, 4), found.is_bore) == (0.054, True)
    assert (1e3 * found.stations_m).round(6).tolist() == [500.0, 400.0, 300.0]
    assert found.clear_m == pytest.approx(0.054, abs=1e-5)
    assert (found.depth_m(0.0538), found.depth_m(0.06)) == (pytest.approx(0.2), 0.0)


@pytest.mark.parametrize(("aft_mm", "is_open"), [(500, True), (491, True), (489, False)])
def test_a_base_is_open_up_to_a_fiftieth_of_the_length_from_its_end(aft_mm, is_open):
    """Of 500 mm ten; whatever stands closed behind the bore is no wall ahead of it."""
    rows = [(0, 0), (200, 27), (aft_mm, 27)] + ([(500, 0)] if aft_mm < 500 else [])
    found = motor_room(cut(rows, 0.5))
    assert (found is not None) is is_open
    if found is not None:
        assert (1e3 * found.stations_m).round(6).tolist() == [aft_mm, 200.0]


def test_nothing_is_open_where_there_is_no_room():
    assert motor_room(cut([(0, 0), (100, 0)])) is None


def test_a_recess_at_the_base_is_no_bore_but_a_ring_there_holds_up_a_motor():
    """Forty millimetres of 80 mm behind a bore of 54; then a ring of 50 mm at the very base."""
    recess = [(0, 0), (100, 27), (400, 27), (400.1, 40), (440, 40)]
    found = motor_room(cut(recess))
    assert (round(found.across_m, 4), found.is_bore) == (0.054, True)
    ring = [*recess, (440.1, 25), (444, 25)]
    found = motor_room(cut(ring))
    assert (round(found.across_m, 4), found.is_bore) == (0.05, True)
    # All short: the last counts.
    assert motor_room(cut([(0, 0), (10, 27), (50, 27)])).across_m == pytest.approx(0.054, abs=1e-5)


def test_a_shell_that_narrows_is_as_wide_as_its_mouth():
    """From 20 mm at the tip to 100 mm at the base: what goes in at the base, not what goes through."""
    found = motor_room(cut([(0, 0), (50, 10), (200, 30), (400, 50)]))
    assert (round(found.across_m, 4), found.is_bore) == (0.1, False)
    mouth = [(0, 0), (50, 10), (200, 30), (400, 50), (400.1, 40), (500, 40)]
    assert motor_room(cut(mouth)).across_m == pytest.approx(0.08, abs=1e-4)


def holes(*rows):
    """Cuts every 10 mm with holes about the axis: radius, radius of the circle, roll angle [mm, deg]."""
    regions = []
    for row in rows:
        discs = [
            disc(r, on * math.cos(math.radians(roll)), on * math.sin(math.radians(roll)))
            for r, on, roll in row
        ]
        regions.append(shapely.union_all(discs))
    return holes_beside_axis(cavity(np.arange(len(rows)) / 100, regions, len(rows) / 100))


def three(radius=3.0, circle=40.0, first=10.0):
    return [(radius, circle, first + 120.0 * n) for n in range(3)]


def test_three_holes_all_the_way_are_a_set():
    (found,) = holes(three(), three(), three(), three())
    assert (found.count, found.fore_m, found.aft_m) == (3, 0.0, 0.03)
    assert found.across_m == pytest.approx(6e-3, abs=1e-6)
    assert found.on_circle_m == pytest.approx(0.08)
    assert math.degrees(found.first_at_rad) == pytest.approx(10.0)


def test_which_holes_are_no_set():
    # Two cuts 10 mm apart are too short, three are not; a gap of two cuts is run across, of three it is not.
    assert holes(three(), three()) == ()
    assert len(holes(three(), three(), three())) == 1
    assert len(holes(three(), [], [], three(), three())) == 1
    assert holes(three(), three(), [], [], [], three()) == ()
    # Wider than 16 mm, about the axis itself, one alone, unevenly round.
    assert len(holes(*[three(8.0)] * 3)) == 1
    assert holes(*[three(8.05)] * 3) == ()
    assert holes(*[[(3.0, 2.9, 0.0), (3.0, 40.0, 0.0)]] * 3) == ()
    assert len(holes(*[[*three()[:2], (3.0, 40.0, 252.9)]] * 3)) == 1
    assert holes(*[[*three()[:2], (3.0, 40.0, 253.1)]] * 3) == ()


def test_other_sizes_and_circles_are_sets_of_their_own():
    both = three() + three(3.3, first=40.0) + three(circle=60.0)
    found = sorted(holes(*[both] * 3), key=lambda one: (one.on_circle_m, one.across_m))
    assert [(round(1e3 * one.across_m, 1), round(1e3 * one.on_circle_m)) for one in found] == [
        (6.0, 80),
        (6.6, 80),
        (6.0, 120),
    ]


def test_what_bulges_within_its_first_fifty_millimetres_is_no_bore():
    """A fifth wider 30 mm from its end, straight again 20 mm on: one room, either way round."""
    bulging = [(0, 25), (40, 18), (46, 14), (50, 10), (80, 12), (110, 10), (140, 10)]
    assert told(rooms_on_axis(cut(bulging))) == [(0.0, 140.0, 20, True)]
    turned = [(140 - station, radius) for station, radius in reversed(bulging)]
    assert told(rooms_on_axis(cut(turned))) == [(0.0, 140.0, 20, True)]
