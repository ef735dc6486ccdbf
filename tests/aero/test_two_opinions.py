"""Two opinions on plates that are neither fins nor body: each number by its share, on one area and width."""

from dataclasses import replace

import numpy as np
import pytest

from finial.aero.blend import blended_table
from finial.aero.table.record import AirTable

MACH = np.array([0.1, 0.5])


def table(size, *, area_m2=0.01, width_m=0.1, **changes):
    """Every number as large as ``size``."""
    grid = np.full((1, 1), size)
    line = np.full(2, size)
    columns = {name: grid for name in ("along", "across", "along_moment", "across_moment", "roll_moment")}
    columns |= {name: line for name in ("axial_power_on", "axial_power_off", "pitch_damping", "roll_damping")}
    pair = (size, size)
    made = AirTable(
        reference_area_m2=area_m2, width_m=width_m, alpha_rad=np.zeros(1), roll_rad=np.zeros(1), mach=MACH,
        damping_centre_m=0.3, side_force=pair, side_moment=pair, drag_line_m=pair, **columns,
    )  # fmt: skip
    return replace(made, **changes)


# Twice the area and three times the width: forces double, moments are sixfold, damping eighteenfold.
ONE, OTHER = table(1.0), table(1.0, area_m2=0.02, width_m=0.3)


@pytest.mark.parametrize("share", [0.0, 0.25, 1.0])
def test_each_number_is_put_on_the_area_and_width_of_the_one(share):
    found = blended_table(ONE, OTHER, share)
    for name in ("along", "across", "axial_power_on", "axial_power_off", "side_force"):
        assert np.ravel(getattr(found, name)) == pytest.approx(1.0 - share + share * 2.0)
    for name in ("along_moment", "across_moment", "roll_moment", "side_moment"):
        assert np.ravel(getattr(found, name)) == pytest.approx(1.0 - share + share * 6.0)
    for name in ("pitch_damping", "roll_damping"):
        assert np.ravel(getattr(found, name)) == pytest.approx(1.0 - share + share * 18.0)
    assert found.drag_line_m == pytest.approx((1.0, 1.0))
    assert (found.reference_area_m2, found.width_m, found.damping_centre_m) == (0.01, 0.1, 0.3)
    assert isinstance(found.side_force, tuple)


def test_the_least_damping_is_that_of_the_worse_opinion_and_unknown_where_either_is():
    one, other = (replace(each, least_damping=np.array([-40.0, -1.0])) for each in (ONE, OTHER))
    assert blended_table(one, other, 0.1).least_damping.tolist() == [-40.0, -1.0]
    weaker = replace(other, least_damping=np.array([-1.0, -1.0]))
    assert blended_table(one, weaker, 0.1).least_damping == pytest.approx([-18.0, -1.0])
    for first, second in ((one, OTHER), (ONE, other), (ONE, OTHER)):
        assert blended_table(first, second, 0.1).least_damping is None


def test_damping_that_one_opinion_leaves_out_is_the_same_in_both_planes_or_nothing_between_them():
    yawing = replace(OTHER, yaw_damping=np.array([3.0, 3.0]))
    assert blended_table(ONE, yawing, 0.5).yaw_damping == pytest.approx(0.5 * 1.0 + 0.5 * 18.0 * 3.0)
    assert blended_table(ONE, OTHER, 0.5).yaw_by_pitch is None
    coupled = replace(OTHER, yaw_by_pitch=np.array([2.0, 2.0]))
    assert blended_table(ONE, coupled, 0.5).yaw_by_pitch == pytest.approx(0.5 * 18.0 * 2.0)
    assert blended_table(coupled, ONE, 0.5).yaw_by_pitch is not None
