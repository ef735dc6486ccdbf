"""Pieces of the body's air on paper: bends of an outline, stretches that lean, rings that lift askew."""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.aero.steps import double_body, upright
from finial.aero.table import build


def test_a_panel_bends_by_half_of_both_its_corners_and_the_last_goes_on_into_its_mirror_image():
    step = np.array([[1.0, 0.0], [1.0, -0.05], [1.0, -0.08]])
    slope = np.arctan(step[:, 1])
    at = [-slope[1], slope[1] - slope[2], 2 * slope[2]]
    expected = [at[0], (at[0] + at[1]) / 2, (at[1] + at[2]) / 2]
    assert double_body._bend(step) == pytest.approx(expected)


def test_sharp_corners_bend_no_panel_and_a_steep_end_meets_no_smooth_mirror_image():
    square = np.array([[1.0, 0.2], [0.0, -1.0]])
    assert double_body._bend(square) == pytest.approx([0.0, 0.0])


def test_stretches_that_overlap_are_one_from_the_fore_end_of_the_first():
    found = upright._disjoint([(0.4, 0.5), (0.0, 0.1), (0.2, 0.3), (0.45, 0.6), (0.41, 0.42)])
    assert found == [(0.0, 0.1), (0.2, 0.3), (0.4, 0.6)]


def test_a_ring_that_lifts_askew_pushes_aside_by_the_ratio_of_its_slopes(monkeypatch):
    lift = np.ones((len(build.ANGLES_RAD), 2))
    monkeypatch.setattr(build, "ring_forces", lambda *_: (2.0 * lift, 0.0 * lift))
    ring = SimpleNamespace(slope_per_rad=np.array([[4.0, 1.0], [1.0, 4.0]]), centre_m=0.3, broadside_m=0.4)
    body = SimpleNamespace(reference_area_m2=0.01, width_m=0.1)
    # Along y and along z: aside a quarter of what is straight, to the other side on the other.
    sides = np.array([[1.0, 0.0], [0.0, 1.0]]), np.array([[0.0, 1.0], [-1.0, 0.0]])
    shape = (len(build.ANGLES_RAD), 2, len(build.MACHS))
    sums = {name: np.zeros(shape) for name in ("along", "along_moment", "across", "across_moment")}
    build._add_ring(sums, ring, body, sides)
    straight = 2.0 * build.RING_FACTOR[1]
    assert sums["along"] == pytest.approx(np.full(shape, straight))
    assert sums["along_moment"] == pytest.approx(np.full(shape, 3.0 * straight))
    assert sums["across"][..., 0] == pytest.approx(np.tile([straight / 4, -straight / 4], (shape[0], 1)))
    assert sums["across_moment"] == pytest.approx(3.0 * sums["across"])
