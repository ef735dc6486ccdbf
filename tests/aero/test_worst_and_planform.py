"""The band at its worst, and the middle of a fin's plate, worked out by hand."""

import numpy as np
import pytest

from finial.aero.band.worst import BandGrid, worst_up_to
from finial.aero.plates.planform import fin_planform

ANGLES = np.array([0.0, 0.1, 0.2])
FORWARD = np.array([[0.50, 0.60], [0.44, 0.60], [0.48, 0.30]])


@pytest.fixture
def band():
    return BandGrid(
        angles_rad=ANGLES,
        rolls_rad=np.array([0.0, 1.5]),
        central_m=FORWARD + np.array([[0.05, 0.07]]),
        forward_m=FORWARD,
        aft_m=FORWARD + 0.2,
    )


@pytest.mark.parametrize(
    ("alpha_rad", "forward_m", "roll_rad", "central_m", "known"),
    [
        (0.05, 0.47, 0.0, 0.52, True),
        (0.1, 0.44, 0.0, 0.49, True),
        # Halfway to the last angle the other roll has come from 0.60 to 0.45, which is not yet worse.
        (0.15, 0.44, 0.0, 0.49, True),
        (0.2, 0.30, 1.5, 0.37, True),
        (0.5, 0.30, 1.5, 0.37, False),
    ],
)
def test_the_worst_up_to_an_angle_is_read_with_its_own_middle(
    band, alpha_rad, forward_m, roll_rad, central_m, known
):
    found, roll = worst_up_to(band, alpha_rad)
    assert (found.low, found.value, found.high) == pytest.approx((forward_m, central_m, forward_m + 0.2))
    assert roll == roll_rad
    assert found.inside_range is known


def test_the_middle_of_a_triangle_lies_a_third_of_the_way_out():
    # Root 0.30 long, tip 0.15 out and 0.24 aft: the mean of three corners.
    fin = fin_planform(np.array([[0.0, 0.0], [0.24, 0.15], [0.30, 0.0]]))
    assert fin.centroid_m == pytest.approx(((0.0 + 0.24 + 0.30) / 3, 0.05), rel=2e-3)
    assert fin.area_m2 == pytest.approx(0.5 * 0.30 * 0.15, rel=1e-3)
