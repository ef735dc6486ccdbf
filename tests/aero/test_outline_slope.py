"""How steep an outline is where a port stands, over a tenth of a radius to both sides."""

import numpy as np
import pytest

from finial.aero.outline_pressure import outline_slope


@pytest.mark.parametrize(
    ("at_m", "slope"),
    [
        # A cone of 1 in 10 to 0.5 m, straight from there on: a tenth of 50 mm is looked at on both sides.
        (0.0, 0.1),
        (0.25, 0.1),
        (0.498, 0.07),
        (0.5, 0.05),
        (0.502, 0.03),
        (0.8, 0.0),
        (1.0, 0.0),
    ],
)
def test_the_slope_of_a_cone_with_a_tube_behind(at_m: float, slope: float) -> None:
    stations, radii = np.array([0.0, 0.5, 1.0]), np.array([0.0, 0.05, 0.05])
    assert outline_slope(stations, radii, at_m) == pytest.approx(slope)


def test_a_boattail_falls_to_its_very_end() -> None:
    assert outline_slope(np.array([0.0, 1.0]), np.array([0.1, 0.05]), 1.0) == pytest.approx(-0.05)
