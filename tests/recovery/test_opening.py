"""Opening loads against a march through time, and at their limits."""

from dataclasses import replace

import numpy as np
import pytest

from finial.core.errors import OutsideRange
from finial.core.estimates import KnownBy, exact, spread
from finial.recovery.canopies.kinds import canopy_kind
from finial.recovery.canopies.opening import Opening, ballistic_parameter, opening_load, opening_reduction

CASE = Opening(
    kind=canopy_kind("flat circular"),
    nominal_diameter_m=exact(2.4),
    drag_area_m2=exact(3.5),
    mass_kg=exact(6.0),
    speed_m_s=exact(18.0),
    density_kg_m3=exact(1.1),
)


def marched_peak(ballistic: float, exponent: float) -> float:
    """Peak of drag over q C_D S at first, from dv/dx = -x^j v^2 / A marched in small steps.

    In units of the filling time and the first speed; level flight, drag alone.
    """
    steps = 200_000
    x = np.linspace(0.0, 4.0, steps + 1)
    area = np.minimum(x, 1.0) ** exponent
    # 1/v grows by the integral of area/A, marched by the trapezoid rule rather than in closed form.
    slowness = 1 + np.concatenate(([0.0], np.cumsum((area[1:] + area[:-1]) / 2 * (x[1] - x[0])))) / ballistic
    return float(np.max(area / slowness**2))


@pytest.mark.parametrize("exponent", [0.5, 1.0, 2.0, 3.0])
@pytest.mark.parametrize("ballistic", [0.02, 0.3, 1.5, 20.0])
def test_reduction_is_the_peak_of_a_march_through_time(ballistic: float, exponent: float) -> None:
    assert opening_reduction(ballistic, exponent) == pytest.approx(
        marched_peak(ballistic, exponent), rel=1e-4
    )


@pytest.mark.parametrize("exponent", [1.0, 2.0])
def test_the_two_branches_meet(exponent: float) -> None:
    seam = (exponent + 2) / (exponent * (exponent + 1))
    below, above = (opening_reduction(seam * (1 + side), exponent) for side in (-1e-9, 1e-9))
    assert below == pytest.approx(above, rel=1e-7)


def test_an_endless_mass_sees_the_whole_opening_factor() -> None:
    heavy = replace(CASE, mass_kg=exact(1e4), speed_m_s=exact(1000.0))
    drag = 1.1 * 1000.0**2 / 2 * 3.5
    assert opening_load(heavy).value == pytest.approx(drag * 1.7, rel=3e-3)


def test_a_slow_opening_ends_at_the_weight() -> None:
    assert opening_load(replace(CASE, speed_m_s=exact(0.0))).value == pytest.approx(6.0 * 9.80665)


def test_a_late_event_pulls_harder_as_the_square() -> None:
    late = replace(CASE, speed_m_s=exact(36.0))
    assert opening_load(late).high == pytest.approx(4 * opening_load(CASE).high)


def test_interval_holds_every_corner() -> None:
    wide = replace(CASE, speed_m_s=spread(18.0, 0.3, known_by=KnownBy.ASSUMED))
    load = opening_load(wide)
    assert load.low < opening_load(CASE).low
    assert load.high > opening_load(CASE).high
    assert load.known_by is KnownBy.ASSUMED


def test_ballistic_parameter_does_not_know_the_speed() -> None:
    assert ballistic_parameter(6.0, 3.5, 1.1, 8 * 2.4) == pytest.approx(2 * 6.0 / (1.1 * 3.5 * 19.2))


@pytest.mark.parametrize(("field", "value"), [("mass_kg", 0.0), ("drag_area_m2", -1.0), ("speed_m_s", -1.0)])
def test_impossible_openings_are_refused(field: str, value: float) -> None:
    with pytest.raises(OutsideRange):
        opening_load(replace(CASE, **{field: exact(value)}))
