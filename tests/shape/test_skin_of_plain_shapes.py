"""The skin of shapes whose areas and volumes any handbook of mensuration gives."""

import itertools
import math

import numpy as np
import pytest

from finial.core.errors import MeshError
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin
from finial.shape.tiers import Tier, tiers_mesh


def area_of_polygon(sides: int, across_m: float) -> float:
    return sides * math.tan(math.pi / sides) * across_m**2 / 4


@pytest.mark.parametrize("sides", [3, 4, 6, 8, 12])
def test_prisms_have_the_area_and_sides_of_their_polygon(draw, sides):
    skin = slice_skin([draw.prism(0.15, 0.9, sides=sides)])
    area = area_of_polygon(sides, 0.15)
    assert skin.areas_m2 == pytest.approx(np.full(len(skin.sections), area), rel=1e-9)
    assert skin.volume_m3 == pytest.approx(0.9 * area, rel=1e-9)
    side = 0.15 * math.tan(math.pi / sides)
    assert skin.wetted_area_m2 == pytest.approx(area + 0.9 * sides * side, rel=1e-9)
    assert {len(loop) for section in skin.sections for loop in section.loops} == {sides}


def test_a_round_bar_drawn_from_tiers_has_the_area_of_the_circle(draw):
    skin = slice_skin([draw.prism(0.2, 1.0, sides=0)])
    assert skin.reference_area_m2 == pytest.approx(math.pi * 0.01, rel=1e-5)
    assert skin.width_m == pytest.approx(0.2, rel=1e-5)


def test_a_cone_has_a_third_of_the_volume_and_its_slant_surface(draw):
    skin = slice_skin([draw.prism(0.2, 0.6, sides=0, top_m=0.0)])
    assert skin.volume_m3 == pytest.approx(math.pi * 0.1**2 * 0.6 / 3, rel=1e-3)
    assert skin.wetted_area_m2 == pytest.approx(math.pi * 0.1 * math.hypot(0.1, 0.6), rel=1e-3)
    assert skin.sections[0].area_m2 < 1e-6 * skin.reference_area_m2


def test_a_dome_has_two_thirds_of_its_cylinder():
    dome = Tier(sides=0, across_m=0.2, across_top_m=0.0, height_m=0.1, is_dome=True)
    skin = slice_skin([tiers_mesh([dome])])
    assert skin.volume_m3 == pytest.approx(2 / 3 * math.pi * 0.1**3, rel=3e-3)
    assert skin.wetted_area_m2 == pytest.approx(2 * math.pi * 0.1**2, rel=3e-3)


def test_a_step_is_two_sections_with_the_areas_of_both_sides(draw):
    narrow, wide = draw.prism(0.10, 0.5), draw.moved(draw.prism(0.15, 0.3), (-0.5, 0.0, 0.0))
    skin = slice_skin([narrow, wide])
    fore, aft = next(
        (fore, aft) for fore, aft in itertools.pairwise(skin.sections) if aft.area_m2 > 1.5 * fore.area_m2
    )
    assert aft.station_m - fore.station_m < 1e-4
    assert (fore.station_m + aft.station_m) / 2 == pytest.approx(0.5, abs=1e-5)
    assert fore.area_m2 == pytest.approx(area_of_polygon(8, 0.10), rel=1e-9)
    assert aft.area_m2 == pytest.approx(area_of_polygon(8, 0.15), rel=1e-9)
    ledge = area_of_polygon(8, 0.15) - area_of_polygon(8, 0.10)
    sides = 8 * math.tan(math.pi / 8) * (0.10 * 0.5 + 0.15 * 0.3)
    assert skin.wetted_area_m2 == pytest.approx(area_of_polygon(8, 0.10) + ledge + sides, rel=1e-4)


def test_a_joint_between_flush_parts_is_no_step(draw):
    upper, lower = draw.prism(0.1, 0.5), draw.moved(draw.prism(0.1, 0.5), (-0.5, 0.0, 0.0))
    stations = slice_skin([upper, lower]).stations_m
    assert np.diff(stations).min() > 1e-3


def test_a_gap_between_parts_is_bridged_and_named(draw):
    upper, lower = draw.prism(0.1, 0.5), draw.moved(draw.prism(0.1, 0.495), (-0.505, 0.0, 0.0))
    skin = slice_skin([upper, lower])
    assert min(skin.areas_m2) > 0.0
    assert skin.volume_m3 == pytest.approx(area_of_polygon(8, 0.1), rel=1e-6)
    assert any("nothing usable" in note and "500.0 to 505.0 mm" in note for note in skin.notes)


def test_two_towers_side_by_side_are_two_loops(draw):
    left = draw.moved(draw.prism(0.1, 0.5), (0.0, 0.1, 0.0))
    right = draw.moved(draw.prism(0.1, 0.5), (0.0, -0.1, 0.0))
    skin = slice_skin([draw.joined(left, right)])
    assert {len(section.loops) for section in skin.sections} == {2}
    assert skin.reference_area_m2 == pytest.approx(2 * area_of_polygon(8, 0.1), rel=1e-9)


def test_towers_a_glue_gap_apart_are_one_outline(draw):
    left = draw.moved(draw.prism(0.1, 0.5, sides=4), (0.0, 0.05005, 0.0))
    right = draw.moved(draw.prism(0.1, 0.5, sides=4), (0.0, -0.05005, 0.0))
    skin = slice_skin([left, right])
    assert {len(section.loops) for section in skin.sections} == {1}
    assert any("slots" in note for note in skin.notes)


def test_loops_run_counter_clockwise_and_are_locked(tower):
    loops = [loop for section in slice_skin([tower]).sections for loop in section.loops]
    signed = [
        np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) for a, b in ((x, np.roll(x, -1, 0)) for x in loops)
    ]
    assert min(signed) > 0.0
    assert not any(loop.flags.writeable for loop in loops)


def test_the_usual_number_of_sections(fine_tower):
    assert 80 <= len(slice_skin([fine_tower]).sections) <= 160


def test_stations_rise_from_tip_to_base(tower):
    skin = slice_skin([tower])
    assert (skin.stations_m[0], skin.stations_m[-1]) == (0.0, skin.length_m)
    assert np.diff(skin.stations_m).min() > 0.0


def test_no_mesh_and_a_mesh_away_from_the_tip_are_refused(draw, tower):
    with pytest.raises(MeshError, match="at least one part needs outside = true"):
        slice_skin([])
    with pytest.raises(MeshError, match=r"station -50\.000 mm instead of 0"):
        slice_skin([draw.moved(tower, (0.05, 0.0, 0.0))])
    with pytest.raises(MeshError, match="no usable face"):
        slice_skin([Mesh(vertices_m=np.zeros((3, 3)), faces=np.array([[0, 1, 2]]))])
