import math
from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.errors import MeshError
from finial.shape.measures import extents_m, radius_at, section_at
from finial.shape.outline import GLUE_GAP_M, _slots_closed, _smooth
from finial.shape.sections import _bodies_cut, _bridged_share, _changes, _frontal_area, slice_skin
from finial.shape.skin import Section


@pytest.fixture(scope="module")
def cone(draw):
    return slice_skin([draw.prism(0.2, 0.6, sides=0, top_m=0.0)])


def test_radius_of_an_octagon_is_its_flat_and_its_corner(draw):
    section = slice_skin([draw.prism(0.15, 0.5)]).sections[10]
    assert radius_at(section, 0.0) == pytest.approx(0.075)
    assert radius_at(section, math.radians(22.5)) == pytest.approx(0.075 / math.cos(math.pi / 8))
    assert radius_at(section, math.radians(45.0 * 5)) == pytest.approx(0.075)


def test_the_nearest_section_is_found_and_stations_off_the_vehicle_are_refused(cone):
    assert section_at(cone, 0.3).station_m == pytest.approx(0.3, abs=0.006)
    assert section_at(cone, 0.6) is cone.sections[-1]
    with pytest.raises(MeshError, match=r"700\.0 mm is not on the vehicle: it runs from 0 to 600\.0 mm"):
        section_at(cone, 0.7)


def test_extents_of_a_shape_that_is_wider_one_way(draw):
    wide = draw.prism(0.1, 0.5, sides=4)
    skin = slice_skin([type(wide)(vertices_m=wide.vertices_m * [1.0, 1.0, 2.0], faces=wide.faces)])
    assert extents_m(skin) == pytest.approx((0.1, 0.2))


def test_an_axis_outside_the_shape_is_refused(draw):
    beside = slice_skin([draw.moved(draw.prism(0.1, 0.5), (0.0, 0.3, 0.0))]).sections[5]
    assert radius_at(beside, 0.0) == pytest.approx(0.35)
    with pytest.raises(MeshError, match="not met from the axis at roll 180"):
        radius_at(beside, np.pi)


def test_cuts_are_told_apart_by_area_outline_and_place():
    """Three per cent of area, five of outline, a hundredth of a width: each is one; on paper."""
    rows = ((4.0, 8.0, (0.0, 0.0)), (4.0, 8.0, (0.1, 0.0)), (1.0, 7.9, (0.1, 4.0)), (1.0, 4.0, (0.1, 4.0)))
    rows += ((4.0, 4.0, (0.1, 0.0)),)
    sections = [
        Section(station_m=0.1 * at, loops=(), area_m2=area, perimeter_m=round_m, centroid_m=middle)
        for at, (area, round_m, middle) in enumerate(rows)
    ]
    # The widest is 2 m wide; a shift counts by the smaller of both areas.
    shifted = 4.0 * 1.0 / 4.0 / 0.02
    assert _changes(sections) == pytest.approx([0.1 / 0.02, shifted, 3.9 / 0.4, shifted])


def test_an_outline_that_thinning_would_flatten_is_left_as_it_is():
    shapely = pytest.importorskip("shapely")
    thin = shapely.box(0.0, 0.0, 1.0, 0.01)
    assert _smooth(thin, 0.2).equals(thin)
    assert _smooth(shapely.box(0.0, 0.0, 1.0, 1.0).segmentize(0.1), 0.01).exterior.length == pytest.approx(
        4.0
    )


def test_outlines_are_counted_and_bridges_are_shares_of_their_outline(draw):
    shapely = pytest.importorskip("shapely")
    section = SimpleNamespace(area_m2=2.0, perimeter_m=4.0)
    two = shapely.MultiPolygon(
        [shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 1), shapely.box(5, 0, 5.001, 0.001)]
    )
    assert _bodies_cut(SimpleNamespace(shape=two, section=section)) == 2
    assert _bodies_cut(SimpleNamespace(shape=shapely.box(0, 0, 1, 2), section=section)) == 1
    found = [SimpleNamespace(bridged_m=bridged, section=section) for bridged in (0.0, 1.0, 0.5)]
    assert _bridged_share(found) == 0.25
    assert _bridged_share([]) == 0.0
    assert _frontal_area([draw.prism(0.2, 1.0, sides=4)]) == pytest.approx(0.04)


@pytest.mark.parametrize(("gaps", "bodies"), [(0.9, 1), (1.1, 2)])
def test_outlines_less_than_a_glue_gap_apart_are_one(gaps, bodies):
    shapely = pytest.importorskip("shapely")
    apart = gaps * GLUE_GAP_M
    two = shapely.MultiPolygon([shapely.box(0, 0, 0.1, 0.1), shapely.box(0.1 + apart, 0, 0.2, 0.1)])
    closed = _slots_closed(two)
    assert len(shapely.get_parts(closed)) == bodies
    assert closed.area == pytest.approx(0.02 if bodies == 1 else 0.02 - 0.1 * apart, rel=1e-6)
