"""An opening in time: beside the closed form, and where it must differ from it."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, spread
from finial.recovery.canopies.example import level_case
from finial.recovery.canopies.inflation import Inflation, inflate, inflation_load
from finial.recovery.canopies.kinds import canopy_kind
from finial.recovery.canopies.opening import opening_reduction
from finial.recovery.canopies.reefing import reefed, slowing

CASE = Inflation(
    mass_kg=8.0,
    full_area_m2=4.0,
    filling_m=20.0,
    projected_diameter_m=1.7,
    growth_exponent=2.0,
    speed_m_s=25.0,
)


def test_a_canopy_that_fills_by_distance_pulls_less_than_one_that_fills_by_the_clock() -> None:
    """Slowed, it meets less air: the closed form is the hard side of light loads."""
    for ballistic in (0.05, 0.2, 1.0):
        by_distance = inflate(replace(level_case(ballistic, 2.0), by_time=False)).peak_n / 0.5
        assert by_distance < opening_reduction(ballistic, 2.0)


def test_both_agree_for_a_load_that_is_hardly_slowed() -> None:
    by_distance = inflate(replace(level_case(200.0, 2.0), by_time=False)).peak_n / 0.5
    assert by_distance == pytest.approx(opening_reduction(200.0, 2.0), rel=0.01)


def test_air_taken_along_is_momentum_taken_from_the_load() -> None:
    """Level and without drag, momentum of load and air together stays: m v0 = (m + ma) v."""
    case = replace(CASE, full_area_m2=1e-9, gravity_m_s2=0.0, air_share=0.5)
    air = 0.5 * 1.225 * 2 / 3 * np.pi * (1.7 / 2) ** 3
    last = float(inflate(case).speeds_m_s[-1])
    assert last == pytest.approx(25.0 * 8.0 / (8.0 + air), rel=1e-3)


def test_it_ends_in_the_steady_fall_at_the_weight() -> None:
    case = replace(CASE, path_rad=np.pi / 2, filling_m=200.0, speed_m_s=20.0)
    history = inflate(case)
    assert float(history.loads_n[-1]) == pytest.approx(8.0 * 9.80665, rel=0.02)


def test_a_slider_lowers_a_hard_opening() -> None:
    hard = replace(CASE, mass_kg=40.0)
    slid = replace(hard, filling_m=hard.filling_m * slowing("slider").value)
    assert inflate(slid).peak_n < 0.9 * inflate(hard).peak_n
    assert reefed(canopy_kind("flat circular"), "none").fill_constant.value == 8.0
    assert reefed(canopy_kind("flat circular"), "ring").fill_constant.value == pytest.approx(12.0)


def test_the_interval_holds_every_corner_tried() -> None:
    speed = spread(25.0, 0.2, known_by=KnownBy.MEASURED)
    load = inflation_load(CASE, {"speed_m_s": speed})
    for value in (speed.low, speed.value, speed.high):
        assert load.low <= inflate(replace(CASE, speed_m_s=value)).peak_n <= load.high


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan")])
def test_a_speed_that_means_nothing_is_refused(value: float) -> None:
    with pytest.raises(OutsideRange, match="speed_m_s"):
        inflate(replace(CASE, speed_m_s=value))


def test_a_shorter_filling_pulls_harder_and_the_interval_says_so() -> None:
    """The distance is the one bound whose low end is the hard one."""
    load = inflation_load(CASE, {"filling_m": spread(20.0, 0.25, known_by=KnownBy.HANDBOOK)})
    shorter, longer = (
        inflate(replace(CASE, filling_m=filling, air_share=share)).peak_n
        for filling, share in ((15.0, 1.0), (25.0, 0.25))
    )
    assert load.high >= max(shorter, inflate(replace(CASE, filling_m=15.0, air_share=0.25)).peak_n)
    assert load.low <= min(longer, inflate(replace(CASE, filling_m=25.0, air_share=1.0)).peak_n)
    assert load.low < load.value == inflate(CASE).peak_n < load.high


def test_area_grows_with_the_square_of_the_distance_and_stops_when_full() -> None:
    """Hardly slowed, distance is speed times time: half way a quarter of the area."""
    history = inflate(replace(CASE, mass_kg=1e6, gravity_m_s2=0.0))
    assert history.times_s[[0, -1]] == pytest.approx([0.0, 2.5 * 20.0 / 25.0 * 599 / 600])
    half = int(np.argmin(np.abs(history.times_s - 0.4)))
    assert history.areas_m2[half] == pytest.approx(4.0 / 4, rel=0.01)
    assert history.areas_m2[-1] == pytest.approx(4.0)
    assert history.areas_m2.max() <= 4.0 + 1e-12
    assert history.areas_m2[0] == 0.0


def test_at_line_stretch_nothing_pulls_and_full_open_drag_does() -> None:
    """Before it fills only the weight is not felt; full open, half rho v^2 C_D S on a heavy load."""
    history = inflate(replace(CASE, mass_kg=1e4, gravity_m_s2=0.0, air_share=0.0))
    assert history.loads_n[0] == pytest.approx(0.0, abs=1e-9)
    assert history.loads_n[-1] == pytest.approx(
        1.225 / 2 * 4.0 * float(history.speeds_m_s[-1]) ** 2, rel=1e-3
    )


def test_air_gained_brakes_while_it_fills_and_not_after() -> None:
    """Without drag the air taken along pulls only until the canopy is full."""
    history = inflate(replace(CASE, full_area_m2=1e-9, gravity_m_s2=0.0, air_share=0.5))
    full = history.areas_m2 >= 1e-9 * (1 - 1e-9)
    assert history.loads_n[full][1:] == pytest.approx(0.0, abs=1e-3)
    air = 0.5 * 1.225 * 2 / 3 * np.pi * (1.7 / 2) ** 3
    speed = 25.0 * 8.0 / (8.0 + air)
    # Growing as the square, the air in it grows as the cube of the distance: 3 m_a v / s_f a second at last.
    last = 8.0 / (8.0 + air) * 3 * air * speed / 20.0 * speed
    assert history.loads_n[~full].max() == pytest.approx(last, rel=0.01)


def test_falling_free_before_the_canopy_fills_nothing_is_felt() -> None:
    """The load falls with the acceleration of gravity itself, whichever way it flies."""
    for path_rad in (0.0, 0.8, np.pi / 2):
        history = inflate(replace(CASE, path_rad=path_rad, air_share=0.0))
        assert history.loads_n[0] == pytest.approx(0.0, abs=1e-9)
