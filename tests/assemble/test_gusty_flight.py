"""The nominal flight in gusts: repeatable, scattered about the one in the mean wind, calm in no wind."""

from dataclasses import replace

import numpy as np

from finial.assemble.flights.gusty import gusty_flight
from finial.flight.example import example_air


def test_the_same_number_flies_the_same_gusts(answered):
    first, again, other = (gusty_flight(answered.flights, number) for number in (4, 4, 5))
    assert np.array_equal(first.positions_m, again.positions_m)
    assert not np.allclose(first.positions_m[-1], other.positions_m[-1], atol=0.5)


def test_gusts_move_the_landing_about_the_mean_wind_s(answered):
    landings = np.array([gusty_flight(answered.flights, number).positions_m[-1, :2] for number in range(25)])
    mean = answered.flights.nominal.positions_m[-1, :2]
    scatter = landings.std(axis=0)
    assert np.all(np.abs(landings.mean(axis=0) - mean) < 3.0 * scatter / 5.0 + 10.0)
    # At 3 m/s of wind the intensity near the ground is a tenth of it and more: some metres of scatter.
    assert 2.0 < np.hypot(*scatter) < 150.0


def test_no_wind_no_gusts(answered):
    still = {name: replace(one, air=example_air(0.0)) for name, one in answered.flights.inputs.items()}
    flights = replace(answered.flights, inputs=still)
    landings = [gusty_flight(flights, number).positions_m[-1, :2] for number in (1, 2)]
    assert np.array_equal(*landings)
