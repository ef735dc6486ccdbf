"""Flights that come down as meant: every condition counts, and so does the lower bound of what was counted.

The bound is held against SciPy's own binomial test.
"""

import math
from dataclasses import replace
from threading import Event

import numpy as np
import pytest
from scipy.stats import binomtest

from finial.assemble.spread.case import flight_case
from finial.assemble.vehicle.levers import rail
from finial.campaign.as_meant import OddsWanted, as_meant, least_odds
from finial.campaign.campaign import fly_range, planned
from finial.campaign.spot import Crowd, Spot, spot_of
from finial.findings import design_judge
from finial.findings.design_judge import judge_design, judge_with_odds, judged_with_odds
from finial.flight.kernel.layout import LANDED, NO_LIFT_OFF
from finial.flight.many import RESULTS, ManyFlights

GOOD = {
    "ended": LANDED,
    "loss": 0.0,
    "under_canopy": 1.0,
    "landing_east_m": 50.0,
    "landing_north_m": 0.0,
    "apogee_m": 500.0,
}
SQUARE = (np.array([[-100.0, -100.0], [100.0, -100.0], [100.0, 100.0], [-100.0, 100.0], [-100.0, -100.0]]),)
SPOT = Spot(
    ceiling_agl_m=600.0,
    field_m=SQUARE,
    crowd=Crowd(near_m=70.0, deep_m=20.0, bearing_rad=math.pi / 2, across_m=30.0),
)


def flown(*flights):
    rows = np.array([[flight.get(name, 0.0) for name in RESULTS] for flight in flights])
    return ManyFlights(first=0, results=rows, drawn=np.empty((len(flights), 0)))


@pytest.mark.parametrize(
    ("bad", "meant"),
    [
        ({}, True),
        ({"ended": NO_LIFT_OFF, "landing_east_m": math.nan, "landing_north_m": math.nan}, False),
        ({"loss": 2.0}, False),
        ({"under_canopy": 0.0}, False),
        ({"landing_east_m": 101.0, "landing_north_m": 90.0}, False),
        ({"landing_east_m": 75.0}, False),
        ({"landing_east_m": 75.0, "landing_north_m": 40.0}, True),
        ({"apogee_m": 601.0}, False),
    ],
)
def test_each_condition_decides(bad, meant):
    assert as_meant(flown(GOOD, GOOD | bad), SPOT).tolist() == [True, meant]


def test_a_radius_stands_where_no_outline_is_and_nothing_where_neither_is():
    far = flown(GOOD, GOOD | {"landing_east_m": 61.0})
    assert as_meant(far, Spot(field_radius_m=60.0)).tolist() == [True, False]
    assert as_meant(far, Spot()).tolist() == [True, True]


def test_the_lower_bound_is_that_of_the_flights_counted(lighthouse):
    case, wanted = flight_case(lighthouse), OddsWanted(share=0.9, flights=60, seed=4)
    campaign = planned(case.name, case.inputs, case.spread, flights=60, seed=4)
    count = int(as_meant(fly_range(campaign, 0, 60), spot_of(case)).sum())
    assert least_odds(case, wanted) == pytest.approx(binomtest(count, 60).proportion_ci(0.95).low, abs=1e-9)
    two = replace(wanted, threads=2)
    assert least_odds(case, two) == least_odds(case, wanted)


def test_a_design_that_goes_must_come_down_as_meant_often_enough(lighthouse, monkeypatch):
    plain = judge_design(lighthouse, {})
    assert plain.is_go
    monkeypatch.setattr(design_judge, "least_odds", lambda _case, _wanted: 0.94)
    assert judge_with_odds(lighthouse, {}, wanted=OddsWanted(share=0.94)) == replace(plain, odds=0.94)
    short = judge_with_odds(lighthouse, {}, wanted=OddsWanted(share=0.95))
    assert (short.is_go, short.mass_kg) == (False, plain.mass_kg)
    assert short.missing == pytest.approx(0.01)


def test_a_design_that_does_not_go_is_not_flown(lighthouse, monkeypatch):
    monkeypatch.setattr(design_judge, "judge_design", lambda _vehicle, _changes, _motors: NOT_GO)
    monkeypatch.setattr(design_judge, "least_odds", None)
    wanted = OddsWanted(share=0.5)
    assert judge_with_odds(lighthouse, {}, wanted=wanted) is NOT_GO
    assert list(judged_with_odds(lighthouse, [{}, {}], wanted=wanted)) == [NOT_GO, NOT_GO]


def test_designs_in_turn_come_to_what_each_comes_to_alone(lighthouse, monkeypatch):
    """In their order, flown or not; the flights of one are still under way when the next is looked at."""
    lighter = {("item", 0, "mass"): "0.5 kg"}
    designs = [{}, lighter, rail(lighthouse.sheet, "", 3.7)]
    wanted = OddsWanted(share=0.5, flights=30)
    alone = [judge_with_odds(lighthouse, one, wanted=wanted) for one in designs]
    assert [one.odds is None for one in alone] == [False, True, False]
    assert list(judged_with_odds(lighthouse, designs, wanted=wanted)) == alone
    looked, flown = design_judge.judge_design, Event()

    def next_waits(vehicle, changes, motors):
        assert not changes or flown.wait(30.0)  # flown before the second is looked at: beside it
        return looked(vehicle, changes, motors)

    def told(_case, _wanted):
        flown.set()
        return 0.9

    monkeypatch.setattr(design_judge, "judge_design", next_waits)
    monkeypatch.setattr(design_judge, "least_odds", told)
    assert [one.odds for one in judged_with_odds(lighthouse, designs[::2], wanted=wanted)] == [0.9, 0.9]
    assert list(judged_with_odds(lighthouse, [], wanted=wanted)) == []


NOT_GO = design_judge.Judged(mass_kg=9.0, missing=0.3, is_go=False)
