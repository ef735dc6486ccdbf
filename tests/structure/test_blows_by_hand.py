"""A blow on an edge: of a body whose ends lie anywhere along the axis, and of none that is turned round."""

import math

import pytest

from finial.core.errors import OutsideRange
from finial.structure.loads.landing import edge_blow


def test_a_body_ahead_of_the_origin_is_a_body() -> None:
    tail = edge_blow((-1.0, -0.4), -0.4, 0.05, 0.0)
    # Straight on, the arm is the edge's distance from the axis.
    assert tail.arm_m(-0.7) == pytest.approx(0.05)
    flat = edge_blow((-1.0, -0.4), -1.0, 0.05, math.pi / 2)
    assert flat.arm_m(-0.7) == pytest.approx(-0.3)
    with pytest.raises(OutsideRange):
        edge_blow((1.0, 0.4), 0.7, 0.05, 0.0)
