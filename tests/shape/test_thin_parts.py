"""Flat parts of one section drawn by hand: which are plates, where they stand, what is left without them."""

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon, box

from finial.shape.mesh import Mesh
from finial.shape.skin import Section
from finial.shape.stations import first_cuts
from finial.shape.thin_parts import ThinPart, polygons_of, section_from, thin_parts

LIMIT_M = 0.012
BODY = box(-0.05, -0.05, 0.05, 0.05)
FIN = box(0.04, -0.0025, 0.16, 0.0025)
"""5 mm thick along body y, 110 mm of it beside the body."""


def section(*pieces: Polygon) -> Section:
    whole = shapely.union_all(list(pieces))
    parts = [shapely.get_coordinates(part.exterior)[:-1] for part in shapely.get_parts(whole)]
    return Section(
        station_m=0.7,
        loops=tuple(parts),
        area_m2=float(whole.area),
        perimeter_m=float(whole.length),
        centroid_m=(whole.centroid.x, whole.centroid.y),
    )


def only(*pieces: Polygon) -> ThinPart:
    (found,) = thin_parts(section(*pieces), LIMIT_M)
    return found


@pytest.mark.parametrize("roll_deg", [0.0, 90.0, 215.0])
def test_a_fin_beside_its_body_is_a_plate_at_its_roll_angle(roll_deg: float) -> None:
    turned = [shapely.affinity.rotate(one, roll_deg, origin=(0, 0)) for one in (BODY, FIN)]
    found = only(*turned)
    assert found.is_plate
    assert found.touches
    assert np.degrees(found.roll_rad) == pytest.approx(roll_deg, abs=0.1)
    assert (found.root_m, found.tip_m) == pytest.approx((0.05, 0.16), abs=3e-4)
    assert found.thickness_m == pytest.approx(0.005, rel=0.02)
    assert found.station_m == 0.7


def test_a_blade_behind_the_base_touches_nothing_and_one_a_little_off_its_body_still_does() -> None:
    assert not only(box(0.05, -0.0025, 0.16, 0.0025)).touches, "there is no body left to touch"
    near, far = (only(BODY, box(0.05 + gap, -0.0025, 0.16, 0.0025)) for gap in (0.0028, 0.0032))
    # A quarter of the threshold, 3 mm: nearer is glued on, farther stands free.
    assert near.touches
    assert not far.touches


def test_a_stub_too_short_to_tell_from_a_rib_is_no_plate() -> None:
    assert not only(BODY, box(0.04, -0.0025, 0.060, 0.0025)).is_plate
    assert only(BODY, box(0.04, -0.0025, 0.064, 0.0025)).is_plate


@pytest.mark.parametrize(("lean_deg", "found"), [(0.0, 1), (25.0, 1), (40.0, 0), (90.0, 0)])
def test_what_runs_along_the_skin_is_no_fin(lean_deg: float, found: int) -> None:
    bar = shapely.affinity.rotate(box(0.1, -0.0025, 0.18, 0.0025), lean_deg, origin="center")
    assert len(thin_parts(section(BODY, bar), LIMIT_M)) == found


def test_what_is_as_thick_as_the_body_s_share_is_body() -> None:
    thick = box(0.04, -0.0062, 0.16, 0.0062)
    assert thin_parts(section(BODY, thick), LIMIT_M) == []
    assert thin_parts(section(BODY), LIMIT_M) == []
    empty = section(BODY)
    assert (
        thin_parts(Section(station_m=0.1, loops=(), area_m2=0.0, perimeter_m=0.0, centroid_m=(0, 0)), 0.01)
        == []
    )
    assert empty.loops


def test_the_body_without_its_fins_has_its_own_outline_again() -> None:
    whole = section(BODY, FIN)
    found = only(BODY, FIN)
    left = section_from(whole, polygons_of(whole), [found.shape], LIMIT_M)
    assert left is not None
    assert left.area_m2 == pytest.approx(0.01, rel=1e-3)
    assert left.perimeter_m == pytest.approx(0.4, rel=1e-3)
    assert left.centroid_m == pytest.approx((0.0, 0.0), abs=1e-4)
    assert len(left.loops) == 1
    assert section_from(whole, polygons_of(whole), [], LIMIT_M) is whole
    alone = section(FIN)
    assert section_from(alone, polygons_of(alone), [FIN], LIMIT_M) is None


def test_what_is_left_is_at_least_as_large_as_the_threshold_squared() -> None:
    """144 mm2: a scrap of 11 by 11 goes with the fin, a post of 13 by 13 stays."""
    for side, kept in ((0.011, 1), (0.013, 2)):
        scrap = box(0.2, 0.2, 0.2 + side, 0.2 + side)
        whole = section(BODY, FIN, scrap)
        left = section_from(whole, polygons_of(whole), [FIN], LIMIT_M)
        assert left is not None
        assert len(left.loops) == kept


def test_few_corners_along_the_axis_each_get_a_cut_and_many_none() -> None:
    """Edges of plain shapes run there: three rings of corners are cut at, 130 left to the spacing."""

    def ringed(stations: np.ndarray) -> Mesh:
        corners = np.array([[-s, y, z] for s in stations for y, z in ((0, 0), (1, 0), (0, 1))])
        faces = [[3 * k, 3 * k + 1, 3 * k + 2] for k in range(len(stations))]
        return Mesh(vertices_m=corners, faces=np.array(faces))

    few = first_cuts([ringed(np.array([0.0, 0.777, 3.0]))], 3.0, ())
    assert np.abs(few - 0.777).min() < 1.6e-4
    many = np.linspace(0.0, 3.0, 130)
    crowded = first_cuts([ringed(many)], 3.0, ())
    assert np.diff(crowded) == pytest.approx(np.diff(crowded)[0], rel=1e-6), (
        "evenly spaced, nothing to follow"
    )
