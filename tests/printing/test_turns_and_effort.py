"""How pieces lie and what they take: areas of plain bodies, and the numbers of the check list."""

import math

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.printing.effort import NOTHING_LEARNED, Printer, effort, learned
from finial.printing.turns import ENDS, SIDES, best_lying, fits_flat, lying
from finial.shape.repair import repaired
from finial.shape.tiers import Tier, tiers_mesh
from finial.shape.united import mesh_of, solid_of_mesh, united

BED = (0.2, 0.2, 0.25)


def mushroom():
    """A cap of 100 mm on a stem of 40 mm: what hangs over is the ring between them."""
    stem = Tier(sides=4, across_m=0.04, across_top_m=0.04, height_m=0.1)
    cap = Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=0.02)
    return mesh_of(united(repaired(tiers_mesh([stem, cap]))))


def test_what_hangs_over_is_the_ring_under_the_cap() -> None:
    upright = lying(mushroom(), (1.0, 0.0, 0.0), BED)
    assert upright.overhang_m2 == pytest.approx(0.1**2 - 0.04**2)
    assert upright.first_layer_m2 == pytest.approx(0.04**2)
    best = best_lying(mushroom(), ENDS, BED)
    assert best.up == (-1.0, 0.0, 0.0)
    assert best.overhang_m2 == pytest.approx(0.0)
    assert best.first_layer_m2 == pytest.approx(0.1**2)


def test_no_piece_stands_on_a_point_however_little_hangs_over() -> None:
    """A spinning top: on its point nothing hangs over, on its flat end a ring of 64 cm2 does."""
    sizes = ((0.006, 0.1, 0.12), (0.1, 0.1, 0.02), (0.06, 0.06, 0.02))
    tiers = [Tier(sides=4, across_m=low, across_top_m=top, height_m=high) for low, top, high in sizes]
    spun = mesh_of(united(repaired(tiers_mesh(tiers))))
    assert lying(spun, ENDS[0], BED).overhang_m2 == pytest.approx(0.0, abs=1e-9)
    best = best_lying(spun, ENDS, BED)
    assert best.up == ENDS[1]
    assert best.overhang_m2 == pytest.approx(0.1**2 - 0.06**2, rel=1e-6)


def test_a_thin_ring_stands_as_wide_as_it_is() -> None:
    """A pipe of 80 mm with a wall of half a millimetre: 1.6 cm2 stand on the bed, on a foot of 64 cm2."""
    outer, inner = (
        solid_of_mesh(tiers_mesh([Tier(sides=4, across_m=side, across_top_m=side, height_m=0.1)]))
        for side in (0.08, 0.079)
    )
    pipe = lying(mesh_of(outer - inner), ENDS[0], BED)
    assert pipe.first_layer_m2 == pytest.approx(0.08**2 - 0.079**2)
    assert pipe.foot_m2 == pytest.approx(0.08**2)
    assert not pipe.on_a_point


@pytest.mark.parametrize(("lean_deg", "hangs"), [(40.0, False), (50.0, True)])
def test_a_face_hangs_from_45_degrees_on(lean_deg: float, hangs: bool) -> None:
    out = 2 * 0.05 * math.tan(math.radians(lean_deg))
    funnel = tiers_mesh([Tier(sides=4, across_m=0.05, across_top_m=0.05 + out, height_m=0.05)])
    assert (lying(funnel, (1.0, 0.0, 0.0), BED).overhang_m2 > 0.0) is hangs


def test_a_long_piece_is_turned_to_the_diagonal_of_the_bed() -> None:
    bar = tiers_mesh([Tier(sides=4, across_m=0.01, across_top_m=0.01, height_m=0.26)])
    assert not lying(bar, (1.0, 0.0, 0.0), BED).fits
    laid = best_lying(bar, (*ENDS, *SIDES), BED)
    assert laid.fits
    # 260 mm long and 10 mm wide, at 45 degrees: (260 + 10) / sqrt 2.
    assert laid.turned_rad == pytest.approx(math.radians(45.0), abs=math.radians(6.0))
    assert max(laid.size_m[:2]) <= 0.2 + 1e-6
    assert fits_flat(np.array([[0, 0], [0.19, 0], [0.19, 0.19]]), BED)


def test_the_matrix_of_a_piece_is_a_turn() -> None:
    for up in (*ENDS, *SIDES):
        matrix = lying(mushroom(), up, (0.05, 0.3, 0.3)).matrix
        assert np.allclose(matrix @ matrix.T, np.eye(3), atol=1e-12)
        assert np.linalg.det(matrix) == pytest.approx(1.0)
        assert matrix[2] == pytest.approx(up)


def test_slanted_ups_are_refused() -> None:
    with pytest.raises(OutsideRange, match="six directions"):
        lying(mushroom(), (0.7, 0.7, 0.0), BED)
    with pytest.raises(OutsideRange, match="no way"):
        best_lying(mushroom(), (), BED)


def test_a_kilogram_of_pla() -> None:
    """1 kg of PLA of 1.75 mm is 335.3 m; .45 x .20 at 100 mm/s lays 9.0 mm3/s: by hand."""
    fast = Printer(line_width_m=0.45e-3, layer_m=0.20e-3, speed_m_s=0.1)
    assert fast.flow_m3_s == pytest.approx(9.0e-9)
    one = effort(1.0 / 1240.0, 1240.0, fast, NOTHING_LEARNED)
    assert one.filament_m.value == pytest.approx(335.3, abs=0.1)
    assert one.mass.value == pytest.approx(1.0)
    assert (one.mass.low, one.mass.high) == pytest.approx((0.92, 1.08))
    # 806.5 cm3 at 8 mm3/s lay in 28.0 h; travel adds a quarter.
    slow = Printer(line_width_m=0.4e-3, layer_m=0.2e-3, speed_m_s=0.1)
    assert effort(806.5e-6, 1240.0, slow, NOTHING_LEARNED).time.value == pytest.approx(
        1.25 * 28.0 * 3600, rel=2e-3
    )


def test_made_pieces_teach_the_plan() -> None:
    told = learned([(0.090, 0.100), (0.190, 0.200)], [(3600.0, 3000.0)])
    assert told.mass.value == pytest.approx(0.28 / 0.3)
    # The first is 0.9 of its formula, 3.6 % under the common factor; the second 1.8 % over.
    assert told.mass.low == pytest.approx(told.mass.value * (0.9 / (0.28 / 0.3)), rel=1e-9)
    assert told.time.value == pytest.approx(1.2)
    assert told.time.high == pytest.approx(1.2 * 1.15)
    assert (told.weighed, told.timed) == (2, 1)
    assert learned([], []).mass == NOTHING_LEARNED.mass


def test_two_pieces_that_agree_are_no_surer_than_two_in_a_hundred() -> None:
    told = learned([(0.1, 0.1), (0.2, 0.2)], [(100.0, 100.0), (200.0, 200.0)])
    assert (told.mass.low, told.mass.high) == pytest.approx((0.98, 1.02))
    assert (told.time.low, told.time.high) == pytest.approx((0.95, 1.05))


def test_nothing_is_learned_from_nothing() -> None:
    with pytest.raises(OutsideRange, match="made pieces"):
        learned([(0.0, 0.1)], [])
    with pytest.raises(OutsideRange, match="speed_m_s"):
        Printer(line_width_m=0.4e-3, layer_m=0.2e-3, speed_m_s=0.0)
    with pytest.raises(OutsideRange, match="plastic_m3"):
        effort(0.0, 1240.0, Printer(line_width_m=4e-4, layer_m=2e-4, speed_m_s=0.1), NOTHING_LEARNED)


def test_of_two_ends_without_overhang_the_wider_stands_on_the_bed() -> None:
    """A frustum that leans 24 degrees hangs over neither way: 100 cm2 at one end, 1 cm2 at the other."""
    frustum = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.01, height_m=0.1)])
    best = best_lying(frustum, ENDS, BED)
    assert best.up == (1.0, 0.0, 0.0)
    assert best.first_layer_m2 == pytest.approx(0.01)
