"""Fins that each stand off as far as the sheet says reach the spin and the lean that are judged."""

import math
from pathlib import Path

import pytest

from finial.assemble.looks.answer import answer
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.loading import load_vehicle

SHEET = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"


@pytest.fixture(scope="module")
def buoy():
    return load_vehicle(SHEET, lambda note: None)


@pytest.fixture(scope="module")
def flown(buoy):
    def one(angle):
        return answer(changed(buoy, {("scatter", "fin_angle"): angle})).flight

    return {angle: one(f"{angle} deg") for angle in (0, 1, 2, 4)}


def test_spin_grows_as_the_angle_does(flown):
    """Roll moment against roll damping: the rate is proportional to it; any text on flight mechanics."""
    ratios = [flown[angle].spinning.ratio.high for angle in (1, 2, 4)]
    assert ratios[1] / ratios[0] == pytest.approx(2.0, rel=0.03)
    assert ratios[2] / ratios[0] == pytest.approx(4.0, rel=0.08)
    assert flown[0].spinning.ratio.high < 1e-6


def test_the_lean_grows_and_the_nominal_flight_stays(flown):
    leans = [math.degrees(flown[angle].steady_angle.high) for angle in (0, 1, 2, 4)]
    assert leans == sorted(leans)
    assert leans[1] > 0.5
    nominal = {angle: (one.steady_angle.value, one.spinning.ratio.value) for angle, one in flown.items()}
    assert len(set(nominal.values())) == 1
    assert len({one.apogee_agl.high for one in flown.values()}) == 1
