"""Cuts, lips, turns on the bed and rounding, each small enough to reckon on paper."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
import shapely

from finial.printing import cuts, numbers, sound, splitting, turns
from finial.printing.cuts import Barred, Demand, ToCut, Why, best_cuts
from finial.printing.frames import across_body
from finial.printing.joints import lip_bodies
from finial.shape.mesh import Mesh


def part(fore, aft, longest, **more):
    return ToCut(span_m=(fore, aft), longest_m=longest, **more)


def test_a_part_is_cut_from_a_thousandth_of_a_millimetre_too_long_on():
    assert best_cuts(part(0.5, 0.8 + 0.9e-6, 0.3)) == ()
    assert len(best_cuts(part(0.5, 0.8 + 1.1e-6, 0.3))) == 1


def test_no_piece_is_shorter_than_15_mm_or_a_quarter_of_a_short_part():
    """By its own length, wherever it stands."""
    assert part(0.5, 0.8, 0.3).least_m == 0.015
    assert part(0.5, 0.54, 0.03).least_m == pytest.approx(0.01)


def bar(fore, aft):
    return Barred(why=Why.FIN_ROOT, name="fins", fore_m=fore, aft_m=aft)


def test_a_cut_takes_the_middle_then_a_ledge_then_where_little_is_carried():
    """Two pieces as even as may be; half of the hardest load's worth for a ledge; a whole one for a tube."""
    assert best_cuts(part(0.0, 0.4, 0.3)) == pytest.approx((0.2,))
    assert best_cuts(part(0.0, 0.4, 0.3, ledges_m=(0.15,))) == pytest.approx((0.15,))
    hard = Demand(stations_m=np.array([0.0, 0.2, 0.4]), shares=np.array([0.0, 1.0, 0.0]))
    low, high = best_cuts(part(0.0, 0.4, 0.3, demand=hard))[0], 0.3
    assert min(abs(low - 0.1), abs(low - high)) < 0.0015
    assert best_cuts(part(0.0, 0.4, 0.3, amid=(bar(0.12, 0.28),)))[0] in (0.119, 0.12, 0.28, 0.281)
    assert best_cuts(part(0.0, 0.4, 0.3, barred=(bar(0.02, 0.38),))) is None
    # Three where two do not do.
    assert len(best_cuts(part(0.0, 0.7, 0.3))) == 2


def test_the_longest_stretch_in_the_way_is_named_first():
    some = part(0.0, 0.5, 0.2, barred=(bar(0.1, 0.2), bar(0.2, 0.45), bar(0.6, 0.9), bar(-0.2, -0.1)))
    assert [(one.fore_m, one.aft_m) for one in cuts.longest_gap(some)] == [(0.2, 0.45), (0.1, 0.2)]
    assert [station for station, _ in cuts.barred_through([0.15, 0.3, 0.5], some.barred)] == [0.15, 0.3]


def test_a_groove_is_wider_by_half_the_clearance_all_round():
    """A square of 10 mm, lips of 5 mm and 0.2 mm of clearance: 10.2 mm square, half a millimetre deeper."""
    square = shapely.box(0.0, 0.0, 0.01, 0.01)
    lip, groove = lip_bodies(across_body(0.1), square, 0.005, 0.2e-3)
    assert 1e9 * lip.volume() == pytest.approx(10.0 * 10.0 * 5.2, rel=1e-4)
    assert 1e9 * groove.volume() == pytest.approx(10.2 * 10.2 * 5.5, rel=1e-4)


def test_a_part_is_turned_as_little_as_may_be_to_fit():
    """A strip of 200 by 10 mm on a bed of 150: it fits along neither side, and askew from 44 degrees on."""
    strip = np.array([[0.0, 0.0], [0.2, 0.0], [0.2, 0.01], [0.0, 0.01]])
    turned, sides = turns._turned(strip, (0.15, 0.15, 0.2))
    assert math.degrees(turned) == pytest.approx(45.0)
    assert sides == pytest.approx((0.21 * math.sqrt(0.5), 0.21 * math.sqrt(0.5)))
    # As it lies where that fits; else a quarter of a turn before any askew one.
    assert turns._turned(strip, (0.25, 0.05, 0.2))[0] == 0.0
    assert math.degrees(turns._turned(strip, (0.05, 0.25, 0.2))[0]) == pytest.approx(90.0)
    wide = np.array([[0.0, 0.0], [0.2, 0.0], [0.2, 0.15], [0.0, 0.15]])
    assert math.degrees(turns._turned(wide, (0.16, 0.22, 0.2))[0]) == pytest.approx(90.0)
    # Eighty degrees are nearer to upright than seventy: by ten.
    leaning = np.array([[0.0, 0.0], [0.2, 0.0], [0.2, 0.05], [0.0, 0.05]])
    angle = math.degrees(turns._turned(leaning, (0.115, 0.21, 0.2))[0])
    assert angle == pytest.approx(90.0)
    # Where none fits, that which sticks out least.
    assert math.degrees(turns._turned(strip, (0.1, 0.1, 0.2))[0]) in (45.0, 135.0)


def test_rounded_corners_that_fall_together_are_one_and_flat_faces_go():
    corners = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0 + 1e-9, 0.0, -0.0]])
    faces = np.array([[0, 1, 2], [1, 3, 2], [3, 0, 1], [0, 3, 2]])
    found = sound._rounded(Mesh(vertices_m=corners, faces=faces))
    assert found.vertices_m.tolist() == [[0.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]]
    assert found.faces.tolist() == [[0, 2, 1], [0, 2, 1]]


def test_notches_find_their_place_along_a_thin_wall():
    """Notches of 8 by 0.8 mm stand half a notch inside the rim, along it; a wall of 0.7 mm has no room."""
    drawn = shapely.box(0.0, -0.4e-3, 8e-3, 0.4e-3)
    wall = shapely.box(0.0, 0.0, 0.06, 0.004)
    shapely.prepare(wall)
    found = numbers._room_along(wall, drawn)
    assert found is not None
    (x, y), angle = found
    assert min(x, y, 0.06 - x, 0.004 - y) == pytest.approx(0.4e-3, abs=2e-6)
    tip = x + 8e-3 * math.cos(angle), y + 8e-3 * math.sin(angle)
    assert wall.covers(shapely.LineString([(x, y), tip]))
    assert numbers._room_along(shapely.box(0.0, 0.0, 0.06, 0.7e-3), drawn) is None


@pytest.mark.parametrize(("lean_deg", "across"), [(0.0, True), (59.0, True), (61.0, False), (90.0, False)])
def test_a_cut_goes_across_up_to_sixty_degrees_off_the_axis(lean_deg, across):
    lean = math.radians(lean_deg)
    plane = splitting.Plane(normal=(-math.cos(lean), math.sin(lean), 0.0), offset_m=0.0)
    assert splitting.BedCut(plane=plane, kind=splitting.JointKind.GLUE).is_across is across


def test_a_cut_square_to_the_axis_has_no_lip_unless_told():
    cut = splitting.station_cut(0.25, splitting.JointKind.GLUE)
    assert (cut.lip_m, cut.dowels, cut.is_across) == (0.0, None, True)


def test_rounding_moves_a_skin_by_half_a_last_bit_of_the_farthest_corner():
    """Of 24 bits: six square millimetres, 5 mm from the origin at the most."""
    solid = SimpleNamespace(surface_area=lambda: 6.0, bounding_box=lambda: (-5.0, 0.0, 1.0, 2.0, 3.0, 4.0))
    assert sound._moved_by_rounding(solid) == pytest.approx(6.0 * 5.0 / 2**24)
