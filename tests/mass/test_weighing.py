"""The whole on a scale, against statics by hand and against a general solver."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.mass.balance import Share
from finial.mass.weighing import agreeing_masses, two_scales, without


def share(mass_kg: float, station_m: float, width_kg: float = 0.0, width_m: float = 0.0) -> Share:
    ends = {"known_by": KnownBy.WEIGHED}
    return Share(
        mass=Estimate(value=mass_kg, low=mass_kg - width_kg, high=mass_kg + width_kg, **ends),
        station=Estimate(value=station_m, low=station_m - width_m, high=station_m + width_m, **ends),
    )


def test_a_beam_on_two_scales_balances_where_statics_says():
    """Moments about the first scale: 5.2 kg 0.82 m away of 9.2 kg in all."""
    found = two_scales(share(4.0, 0.2), share(5.2, 1.02))
    assert found.mass.value == pytest.approx(9.2)
    assert found.station.value == pytest.approx(0.2 + 0.82 * 5.2 / 9.2)


def test_what_two_scales_may_be_off_moves_the_balance_point_by_hand():
    """The aft scale 0.1 kg up and the fore one 0.1 kg down: 0.82 m * 0.1 / 9.2 each way."""
    found = two_scales(share(4.0, 0.2, 0.1), share(5.2, 1.02, 0.1))
    assert found.station.high - found.station.value == pytest.approx(0.82 * 0.1 / 9.2)
    assert found.station.value - found.station.low == pytest.approx(0.82 * 0.1 / 9.2)
    assert (found.mass.low, found.mass.high) == pytest.approx((9.0, 9.4))


def test_taking_out_what_was_put_in_leaves_what_was_there():
    rest, motor = share(7.8, 0.6), share(1.5, 1.0)
    whole = share(9.3, (7.8 * 0.6 + 1.5 * 1.0) / 9.3)
    left = without(whole, motor)
    assert (left.mass.value, left.station.value) == pytest.approx((rest.mass.value, rest.station.value))


def test_a_motor_nobody_weighed_widens_what_is_left():
    left = without(share(9.3, 0.66, 0.01), share(1.5, 1.0, 0.03))
    assert (left.mass.low, left.mass.high) == pytest.approx((7.76, 7.84))
    assert left.station.low < (9.3 * 0.66 - 1.5) / 7.8 < left.station.high


@pytest.mark.parametrize(
    "slip",
    [
        lambda: two_scales(share(4.0, 0.2), share(5.0, 0.2)),
        lambda: two_scales(share(0.0, 0.2), share(5.0, 0.8)),
        lambda: without(share(1.4, 0.6, 0.11), share(1.5, 1.0)),
        lambda: agreeing_masses([], exact(1.0)),
        lambda: agreeing_masses([share(1.0, 0.0, 0.1)], exact(1.0)),
        lambda: agreeing_masses([share(1.0, 0.0, 0.1)], share(1.0, 0.0, 0.1).mass, exact(0.0)),
    ],
)
def test_what_says_nothing_is_refused(slip):
    with pytest.raises(OutsideRange):
        slip()


TABLE = [
    share(2.0, 0.1, 0.01),
    share(1.0, 0.4, 0.3),
    share(3.0, 0.8, 0.2),
    share(0.5, 1.0),
    share(0.4, 0.9, 0.1),
]


def told(mass_kg: float, station_m: float) -> tuple[Estimate, Estimate]:
    return share(mass_kg, station_m, 0.01, 0.002).mass, share(mass_kg, station_m, 0.01, 0.002).station


@pytest.mark.parametrize(("mass_kg", "station_m"), [(7.0, 0.56), (6.9, 0.55), (7.2, 0.57), (6.8, 0.545)])
def test_the_table_is_moved_as_a_general_solver_moves_it(mass_kg, station_m):
    """Another method on the same question: sequential quadratic programming, the scale as two equations."""
    mass, station = told(mass_kg, station_m)
    ends = [(row.mass.low, row.mass.high) for row in TABLE]
    arms = np.array([row.station.value for row in TABLE]) - station.value

    def off(masses):
        return sum(
            ((one - row.mass.value) / row.mass.half_width) ** 2
            for one, row in zip(masses, TABLE, strict=True)
            if row.mass.half_width
        )

    held = [
        {"type": "eq", "fun": lambda masses: masses.sum() - mass_kg},
        {"type": "eq", "fun": lambda masses: masses @ arms},
    ]
    start = np.array([row.mass.value for row in TABLE])
    other = minimize(off, start, method="SLSQP", bounds=ends, constraints=held, options={"ftol": 1e-14})
    assert other.success
    found = agreeing_masses(TABLE, mass, station)
    assert found == pytest.approx(other.x, abs=1e-4)
    assert found.sum() == pytest.approx(mass_kg, abs=1e-5)
    assert found @ arms == pytest.approx(0.0, abs=1e-5)


def test_what_is_guessed_moves_most_and_what_is_exact_not_at_all():
    moved = agreeing_masses(TABLE, *told(7.0, 0.56)) - [row.mass.value for row in TABLE]
    assert moved[3] == 0.0
    assert abs(moved[0]) < 1e-3 < abs(moved[1])


def test_a_hung_vehicle_moves_masses_between_its_ends():
    fore, aft = (agreeing_masses(TABLE, *told(6.9, at)) for at in (0.54, 0.56))
    assert aft[2] > fore[2]
    assert aft[1] < fore[1]
    assert math.isclose(aft.sum(), 6.9, abs_tol=0.01)


def test_the_nearest_the_table_can_reach_comes_back_when_it_cannot_reach_it():
    assert agreeing_masses(TABLE, told(9.0, 0.6)[0]) == pytest.approx([row.mass.high for row in TABLE])
