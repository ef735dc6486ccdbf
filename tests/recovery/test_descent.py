"""Speed, energy and drift on the way down."""

import math

import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact, spread
from finial.recovery.canopies.descent import (
    descent_speed,
    drop_height,
    ground_speed,
    landing_energy,
)


def estimate(low: float, value: float, high: float) -> Estimate:
    return Estimate(value=value, low=low, high=high, known_by=KnownBy.ASSUMED)


def test_weight_and_drag_balance_at_the_speed_found() -> None:
    speed = descent_speed(exact(3.0), exact(1.7), exact(1.1)).value
    assert 1.1 * speed**2 / 2 * 1.7 == pytest.approx(3.0 * 9.80665)


def test_fastest_descent_is_the_heaviest_with_least_drag_in_thinnest_air() -> None:
    speed = descent_speed(estimate(2.9, 3.0, 3.1), estimate(1.5, 1.7, 1.9), estimate(1.0, 1.1, 1.2))
    assert speed.high == descent_speed(exact(3.1), exact(1.5), exact(1.0)).value
    assert speed.low == descent_speed(exact(2.9), exact(1.9), exact(1.2)).value
    assert speed.known_by is KnownBy.ASSUMED


def test_energy_is_what_a_drop_from_the_equal_height_gives() -> None:
    speed = exact(5.0)
    height = drop_height(speed).value
    assert landing_energy(exact(2.0), speed).value == pytest.approx(2.0 * 9.80665 * height)


def test_wind_makes_the_landing_harder() -> None:
    assert ground_speed(exact(5.0), spread(5.0, 0.2, known_by=KnownBy.ASSUMED)).high == math.hypot(5.0, 6.0)


def test_no_canopy_area_is_refused() -> None:
    with pytest.raises(OutsideRange, match="drag_area_m2"):
        descent_speed(exact(3.0), exact(0.0), exact(1.2))
