"""Small steps of the shape on paper: orders of pieces, ends in one another, corners, gaps between cuts."""

from types import SimpleNamespace

import numpy as np
import pytest
import shapely

from finial.shape import fin_split, outline
from finial.shape.pieces import stack


def costs(*rows):
    return np.array(rows, dtype=float)


def test_the_cheapest_order_is_found_and_one_without_a_pair():
    """From 2 to 0 to 1 costs 0.1 and 0.2; without the first pair 0, 1, 2 is left, 0.2 and 0.3."""
    cost = costs([9, 0.2, 0.9], [0.8, 9, 0.3], [0.1, 0.6, 9])
    assert stack._shortest(cost) == (2, 0, 1)
    assert stack._total(cost, (2, 0, 1)) == pytest.approx(0.3)
    assert stack._shortest(cost, {(2, 0)}) == (0, 1, 2)
    assert stack._total(cost, (0, 1, 2)) == pytest.approx(0.5)
    # The best other order is 1, 2, 0: 0.4, a tenth dearer.
    assert stack._lead(cost, (2, 0, 1)) == pytest.approx(0.1)
    assert stack._shortest(costs([9])) == (0,)
    assert stack._shortest(costs([9, 9], [9, 9]), {(0, 1), (1, 0)}) == ()


def test_of_an_order_that_reads_backwards_as_well_the_narrow_end_is_the_tip():
    """Three pieces whose ends match both ways; areas of 1 and 4 at the ends, or of 4 and 1."""
    cost = costs([9, 0.1, 0.8], [0.1, 9, 0.1], [0.8, 0.1, 9])

    def ends(*areas):
        return [
            SimpleNamespace(
                fore=SimpleNamespace(filled=SimpleNamespace(area=area)),
                aft=SimpleNamespace(filled=SimpleNamespace(area=area + 0.1)),
            )
            for area in areas
        ]

    assert stack._clearest(cost, ends(1.0, 2.0, 4.0)) == ((0, 1, 2), True)
    assert stack._clearest(cost, ends(4.0, 2.0, 1.0)) == ((2, 1, 0), True)
    # Ends of 1 and 1.1 are no narrow and no wide one: the order is not clear.
    assert stack._clearest(cost, ends(1.0, 2.0, 1.0)) == ((0, 1, 2), False)
    # Backwards it is far dearer: areas do not count.
    one_way = costs([9, 0.1, 0.8], [0.9, 9, 0.1], [0.8, 0.9, 9])
    assert stack._clearest(one_way, ends(4.0, 2.0, 1.0)) == ((0, 1, 2), True)


def end(half, *, bore=0.0, spigot_m=0.0, shoulder=0.0):
    filled = shapely.box(-half, -half, half, half)
    solid = filled.difference(shapely.box(-bore, -bore, bore, bore)) if bore else filled
    behind = shapely.box(-shoulder, -shoulder, shoulder, shoulder) if shoulder else filled
    return stack._End(filled=filled, solid=solid, spigot_m=spigot_m, shoulder=behind)


def test_ends_meet_by_what_their_outlines_share():
    """Squares of 2 and 4 share 4 of 16; a spigot of 2 in a bore of 2.2 fills 0.826, its shoulder matches."""
    butt = stack._joint(end(1.0), end(2.0))
    assert (butt.mismatch, butt.sunk_m) == (pytest.approx(0.75), 0.0)
    spigot, socket = end(1.0, spigot_m=0.03, shoulder=2.0), end(2.0, bore=1.1)
    for joint in (stack._joint(spigot, socket), stack._joint(socket, spigot)):
        assert (joint.mismatch, joint.sunk_m) == (pytest.approx(0.0), 0.03)
    # In a bore of 2.5 it would fill 0.64: it does not belong there.
    loose = stack._joint(spigot, end(2.0, bore=1.25))
    assert (loose.mismatch, loose.sunk_m) == (pytest.approx(0.75), 0.0)
    nothing = SimpleNamespace(filled=shapely.Polygon())
    assert stack._unlike(nothing.filled, end(1.0).filled) == 1.0


def test_an_end_off_its_origin_is_put_in_the_middle():
    """A square of 2 counts as off from 0.1 on, a twentieth of its width."""
    for aside, off in ((0.099, 0.0), (0.101, 0.101), (3.0, 3.0)):
        moved = shapely.box(aside - 1.0, -1.0, aside + 1.0, 1.0)
        assert stack._off_axis(moved) == pytest.approx((off, 0.0))
        assert stack._centred(moved).centroid.x == pytest.approx(aside - off)
    assert stack._unlike(shapely.box(2.0, 0.0, 4.0, 2.0), shapely.box(-1.0, -1.0, 1.0, 1.0)) == pytest.approx(
        0.0
    )


def test_pieces_are_moved_behind_one_another_and_sunk():
    """Pieces 0.2 and 0.3 m long, the second 0.05 m into the first, which stands 0.5 m aside."""

    def piece(fore_m, aft_m, aside):
        square = SimpleNamespace(shoulder=shapely.box(aside - 0.1, -0.1, aside + 0.1, 0.1))
        return SimpleNamespace(span=(fore_m, aft_m), fore=square, aft=square)

    pieces = [piece(1.0, 1.3, 0.0), piece(-0.4, -0.2, 0.5)]
    joints = [SimpleNamespace(sunk_m=0.05)]
    found = stack._shifts(pieces, (1, 0), joints)
    # Body x is forward: stations fall by what is added. 1.0 - 0.15 and -0.4 - 0.
    assert found[0] == pytest.approx((0.85, 0.0, 0.0))
    assert found[1] == pytest.approx((-0.4, -0.5, 0.0))


def test_a_spigot_keeps_its_section_and_a_cone_does_not():
    assert stack._even(np.array([1.0, 0.96, 0.98]))
    assert not stack._even(np.array([1.0, 0.94, 0.98]))


def test_a_step_is_where_the_corners_between_two_cuts_are():
    corners = np.array([[-0.11, 0, 0], [-0.11, 1, 0], [-0.19, 0, 0], [-0.3, 0, 0]])
    piece = SimpleNamespace(mesh=SimpleNamespace(vertices_m=corners))
    for stations in ([0.0, 0.1, 0.2, 0.3], [0.3, 0.2, 0.1, 0.0]):
        assert stack._step_at(piece, np.array(stations), 1) == pytest.approx(0.11)
    assert stack._step_at(piece, np.array([0.0, 0.05, 0.1]), 0) == pytest.approx(0.025)


def test_single_points_on_straight_sides_go_and_a_triangle_stays_one():
    """A square with a point amid its lower side; of two in a row the first; three points nearly on a line."""
    square = [[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]
    assert outline._corners_only(np.array(square), 1e-3).tolist() == [square[n] for n in (0, 2, 3, 4)]
    bent = [[0.0, 0.0], [1.0, 0.0011], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]
    assert outline._corners_only(np.array(bent), 1e-3).tolist() == bent
    two = [[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0], [3.0, 3.0], [0.0, 3.0]]
    assert outline._corners_only(np.array(two), 1e-3).tolist() == [two[n] for n in (0, 2, 3, 4, 5)]
    flat = [[0.0, 0.0], [1.0, 5e-4], [2.0, 0.0]]
    assert outline._corners_only(np.array(flat), 1e-3).tolist() == flat


@pytest.mark.parametrize("side_m", [0.1, 2.0])
def test_points_nearer_to_the_outline_than_a_hundred_thousandth_of_its_size_go(side_m):
    for off, corners in ((0.5e-5, 4), (2e-5, 5)):
        low = -off * side_m
        ring = [(0.0, 0.0), (side_m / 2, low), (side_m, 0.0), (side_m, side_m), (0.0, side_m)]
        section = outline.section_of_shape(0.25, shapely.Polygon(ring))
        assert (section.station_m, len(section.loops[0])) == (0.25, corners)
        assert section.centroid_m == pytest.approx((side_m / 2, side_m / 2), rel=1e-4)


def test_a_leading_edge_meets_the_root_ahead_of_its_first_cut():
    """20 mm out at the first cut and 30 mm out 5 mm on: 10 mm ahead, but no more than a tenth of all."""
    stations = np.array([0.1, 0.105, 0.4])
    assert fin_split._ahead(stations, np.array([0.02, 0.03, 0.05])) == pytest.approx(0.01)
    assert fin_split._ahead(stations, np.array([0.02, 0.021, 0.05])) == pytest.approx(0.03)
    for upright in ([0.02, 0.02, 0.02], [0.02, 0.01, 0.01], [0.0, 0.01, 0.02]):
        assert fin_split._ahead(stations, np.array(upright)) == 0.0


def test_corners_of_a_plate_stay_from_two_thousandths_of_its_size_on():
    """Wherever it stands: of a plate 1 m long, 1.9 mm off a straight side is none, 2.1 mm is."""
    for at in (0.0, 50.0):
        for off, count in ((0.0019, 3), (0.0021, 4)):
            plate = np.array([[at, 0.0], [at, 0.0], [at + 0.5, off], [at + 1.0, 0.0], [at + 1.0, 0.4]])
            kept = fin_split._thinned(plate)
            assert len(kept) == count
            assert kept[0].tolist() == [at, 0.0]


def test_the_widest_gap_counts_from_the_cut_ahead_of_the_plates():
    """Cuts at 0, 50, 60, 90, 100 and 200 mm: plates from 90 mm on are 30 mm behind the cut ahead of them."""
    stations = (0.0, 0.05, 0.06, 0.09, 0.1, 0.2)
    skin = SimpleNamespace(sections=[SimpleNamespace(station_m=station) for station in stations])

    def run(*at):
        return [SimpleNamespace(station_m=stations[n]) for n in at]

    assert fin_split._apart_m(skin, [run(2, 3, 4)]) == pytest.approx(0.03)
    assert fin_split._apart_m(skin, [run(4)]) == pytest.approx(0.01)
    assert fin_split._apart_m(skin, [run(3, 4)]) == pytest.approx(0.03)
    assert fin_split._apart_m(skin, [run(4), run(1, 2)]) == pytest.approx(0.05)
    assert fin_split._apart_m(skin, [run(0)]) == 0.0
