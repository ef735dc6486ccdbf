"""Ballast, rails, canopies, motors and trades of fins, on vehicles that are a line of arithmetic each."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from finial.assemble.vehicle.tweak import TweakKind
from finial.core.errors import MissingData, OutsideRange
from finial.core.estimates import Estimate, KnownBy, exact
from finial.core.units import Quantity
from finial.motors.motor import Motor
from finial.sizing import region, scale_motor, solve, trade, usual
from finial.sizing.judged import Judged
from finial.sizing.region import GoRegion, go_region
from finial.sizing.search import cost
from finial.sizing.variables import COUNT, Variable


def quantity(value: float) -> Quantity:
    return Quantity(value=value, text=str(value))


@pytest.fixture
def arithmetic(monkeypatch):
    """Margin a tenth of the ballast, 2 m/s to the metre of rail, 12 m/s over the canopy's metres."""
    asked = []

    def look_at(changes):
        asked.append(changes)
        wide = changes.get("canopy")
        return SimpleNamespace(
            margin_m=0.1 * changes.get("ballast", 0.0) - 0.05 * ("heavy" in changes),
            rail_exit_low_m_s=2.0 * changes.get("rail", 0.0),
            landing_speed=None if wide is None or wide < 0.5 else SimpleNamespace(high=12.0 / wide),
        )

    monkeypatch.setattr(solve, "look_at", look_at)
    monkeypatch.setattr(solve, "changed", lambda _vehicle, changes: changes)
    monkeypatch.setattr(solve, "ballast", lambda _sheet, _item, mass: {"ballast": mass})
    monkeypatch.setattr(solve, "rail", lambda _sheet, _name, length: {"rail": length})
    monkeypatch.setattr(solve, "canopy_lever", lambda _sheet, _name, across: {"canopy": across})
    canopies = [
        SimpleNamespace(name=name, diameter=quantity(wide)) for name, wide in (("pilot", 9.0), ("main", 1.0))
    ]
    sheet = SimpleNamespace(guide="guide", recovery=SimpleNamespace(canopy=canopies))
    return SimpleNamespace(sheet=sheet, skin=SimpleNamespace(length_m=1.2), asked=asked)


def test_the_least_ballast_for_a_margin_is_found_to_the_gram(arithmetic):
    found = solve.ballast_for(arithmetic, "lead", 0.12345)
    assert found.value == pytest.approx(1.235)
    assert (found.changes, found.look.margin_m) == ({"ballast": found.value}, pytest.approx(0.1235))
    assert found.evaluations == len(arithmetic.asked)
    more = solve.ballast_for(arithmetic, "lead", 0.12345, others={"heavy": 1})
    assert (more.value, more.changes["heavy"]) == (pytest.approx(1.735), 1)
    with pytest.raises(OutsideRange, match="1 kg of lead do not make the margin"):
        solve.ballast_for(arithmetic, "lead", 0.12345, most_kg=1.0)


def test_the_shortest_rail_for_a_speed_is_found_to_the_centimetre(arithmetic):
    found = solve.rail_for(arithmetic, 7.013)
    assert (found.value, found.look.rail_exit_low_m_s) == (pytest.approx(3.51), pytest.approx(7.02))
    # A rail stands a decimetre over the vehicle at least.
    assert solve.rail_for(arithmetic, 1.0).value == pytest.approx(1.3)
    with pytest.raises(OutsideRange, match=r"a rail of 12 m is too short for 24\.1 m/s"):
        solve.rail_for(arithmetic, 24.1)
    arithmetic.sheet.guide = None
    with pytest.raises(MissingData, match="no rail buttons"):
        solve.rail_for(arithmetic, 7.0)


def test_the_smallest_canopy_for_a_landing_is_found_to_the_centimetre(arithmetic):
    found = solve.canopy_for(arithmetic, "main", 6.0)
    # Enough at this very size, and no more than two steps over the least.
    assert 2.0 <= found.value <= 2.02
    assert found.look.landing_speed.high <= 6.0
    # Three times the sheet's own at most; below half a metre nobody lands at all.
    assert 0.5 <= solve.canopy_for(arithmetic, "main", 30.0).value <= 0.52
    with pytest.raises(OutsideRange):
        solve.canopy_for(arithmetic, "main", 3.9)
    assert solve.canopy_for(arithmetic, "main", 4.01).value == pytest.approx(3.0)


@pytest.mark.parametrize(("value", "up"), [(1.2341, 1.235), (1.235, 1.235), (0.0, 0.0)])
def test_a_size_is_rounded_up_to_what_can_be_built(value, up):
    assert solve._rounded_up(value, 0.001) == pytest.approx(up)


# --------------------------------------------------------------------------------- trades


def asked(**given):
    return trade.TradeAsked(**({"fin": "fins", "item": "lead", "needed_m": 0.1} | given))


def winged(count=4, station_m=0.9, length_m=1.2):
    outline = [(quantity(along), quantity(0.0)) for along in (0.0, 0.1, 0.25, 0.2)]
    fin = SimpleNamespace(name="fins", count=count, station=quantity(station_m), outline=outline)
    other = SimpleNamespace(name="vanes")
    return SimpleNamespace(sheet=SimpleNamespace(fin=(other, fin)), skin=SimpleNamespace(length_m=length_m))


def test_every_span_and_place_is_tried_with_one_fin_more_and_one_less():
    found = list(trade._combinations(winged(), asked(spans=(0.8, 1.0))))
    # Roots of 250 mm end at the base at the latest: 950 mm is the last place.
    places = [pytest.approx(0.84), pytest.approx(0.9)]
    assert found == [(span, at, count) for span in (0.8, 1.0) for at in places for count in (3, 4, 5)]
    assert trade.combinations(winged(), asked(spans=(0.8, 1.0))) == 12
    assert {count for *_, count in trade._combinations(winged(count=3), asked())} == {3, 4}
    assert {count for *_, count in trade._combinations(winged(), asked(counts=(6,)))} == {6}


def test_the_sheet_s_own_place_is_tried_wherever_it_is():
    def places(station_m, **given):
        found = trade._combinations(winged(station_m=station_m), asked(**given))
        return sorted({round(at, 9) for _, at, _ in found})

    assert places(1.1) == [1.04, 1.1]
    assert places(0.05) == [0.05, 0.11]
    assert places(0.9, shifts_m=(9.0,)) == [0.9]


def test_a_fin_that_is_not_there_is_named_with_those_that_are():
    with pytest.raises(MissingData, match='no fin "tail": it has "vanes", "fins"'):
        list(trade._combinations(winged(), asked(fin="tail")))
    bare = SimpleNamespace(sheet=SimpleNamespace(fin=()), skin=SimpleNamespace(length_m=1.0))
    with pytest.raises(MissingData, match="it has none"):
        list(trade._combinations(bare, asked()))


def test_fins_that_no_ballast_makes_stable_are_left_out_and_the_best_are_marked(monkeypatch):
    looks = {0.8: (2.0, 0.10, 300.0), 0.9: (1.0, 0.12, 310.0), 1.1: (1.5, 0.15, 290.0)}
    for name in ("span_lever", "fin_station", "fin_count"):
        monkeypatch.setattr(trade, name, lambda _sheet, _name, value, name=name: {name: value})

    def ballast_for(_vehicle, item, needed, *, most_kg, others):
        if others["span_lever"] not in looks:
            raise OutsideRange("no ballast is enough")
        kilos, span, top = looks[others["span_lever"]]
        look = SimpleNamespace(span_m=span, apogee_m=top)
        return SimpleNamespace(changes={**others, item: kilos}, value=kilos, look=look)

    monkeypatch.setattr(trade, "ballast_for", ballast_for)
    done = []
    wanted = asked(spans=(0.7, 0.8, 0.9, 1.1), shifts_m=(0.0,), counts=(4,))
    found = trade.fin_trade(winged(), wanted, done.append)
    assert [(one.ballast_kg, one.span, one.is_best) for one in found] == [
        (1.0, 0.9, True), (1.5, 1.1, False), (2.0, 0.8, True),
    ]  # fmt: skip
    assert (found[0].station_m, found[0].count, found[0].changes["lead"]) == (0.9, 4, 1.0)
    assert done == [1, 2, 3, 4]
    looks.clear()
    with pytest.raises(OutsideRange, match="no fin tried is stable with up to 5 kg of lead"):
        trade.fin_trade(winged(), wanted)


# --------------------------------------------------------------------------------- motors


def motor(name="flat", push_n=100.0, **given):
    usual = {"diameter_m": 0.038, "length_m": 0.2, "loaded_mass_kg": 0.3, "propellant_mass_kg": 0.1}
    times, thrusts = np.array([0.0, 1.0, 3.0]), np.array([push_n, push_n, 0.0])
    return Motor(name=name, times_s=times, thrusts_n=thrusts, **(usual | given))


def test_the_propellant_goes_as_the_impulse_does():
    found = scale_motor._burning(motor(), 2.0, 0.7)
    # 100 N s in the first second, as much again as it dies away in two.
    assert found.masses_kg == pytest.approx([2.0, 1.95, 1.9])
    assert found.centres_m.tolist() == [[-0.7, 0.0, 0.0]] * 3
    assert found.inertias_kg_m2[1] == pytest.approx(2.0 * 0.49 * np.eye(3))


def launch(**given):
    from dataclasses import replace

    from finial.flight.example import example_inputs

    one = example_inputs()
    usual = {"rail": replace(one.rail, fore_button_m=0.6, aft_button_m=1.0), "base_m": 1.2, "air": one.air}
    return scale_motor.Launched(**(usual | {"drag_area_m2": 0.01} | given))


def test_buttons_stand_and_drag_grows_by_the_scale():
    found = scale_motor._along_the_rail(launch(), motor(), 2.0, 0.7, 3.0)
    assert (found.rail.fore_button_m, found.rail.aft_button_m) == pytest.approx((1.8, 3.0))
    assert (found.thrust.nozzle_station_m, found.tumbling_drag_area_m2) == pytest.approx((3.6, 0.09))
    table = found.air_table
    assert table.axial_power_on[0, 0, 0] * table.reference_area_m2 == pytest.approx(0.09)
    assert found.canopies == ()


def test_the_slow_end_is_weak_and_heavy_and_the_fast_one_strong_and_light(monkeypatch):
    flown = []

    def rail_exit(inputs, rail, air):
        flown.append((inputs.thrust.thrusts_n[0], inputs.mass.masses_kg[0]))
        return SimpleNamespace(speed_m_s=inputs.thrust.thrusts_n[0] / inputs.mass.masses_kg[0])

    monkeypatch.setattr(scale_motor, "fly", lambda inputs: inputs)
    monkeypatch.setattr(scale_motor, "rail_exit", rail_exit)
    mass = Estimate(value=2.0, low=1.8, high=2.2, known_by=KnownBy.COMPUTED)
    found = scale_motor.speed_off_rail(launch(thrust_drift=0.05), motor(thrust_spread=0.15), mass, 0.7, 1.0)
    assert flown == [pytest.approx(one) for one in ((100.0, 2.0), (80.0, 2.2), (120.0, 1.8))]
    assert (found.low, found.value, found.high) == pytest.approx((80 / 2.2, 50.0, 120 / 1.8))
    monkeypatch.setattr(scale_motor, "rail_exit", lambda *_: None)
    assert scale_motor.speed_off_rail(launch(), motor(), mass, 0.7, 1.0) is None


@pytest.mark.parametrize(("drift", "name"), [(0.0, "small"), (0.3, "large"), (0.9, None)])
def test_the_cold_of_the_day_may_ask_for_a_larger_motor(drift, name):
    motors = (motor("large", 200.0, thrust_spread=0.0), motor("small", 100.0, thrust_spread=0.0))
    found = scale_motor.lifting_motor(motors, exact(1.0), 4.5, drift=drift)
    assert getattr(found, "name", None) == name
    with pytest.raises(OutsideRange):
        scale_motor.lifting_motor(motors, exact(1.0), 0.0)


def test_without_a_launch_or_buttons_no_model_leaves_a_rail():
    sheet = SimpleNamespace(guide=None)
    assert scale_motor.launched(SimpleNamespace(files=SimpleNamespace(missing=()), sheet=sheet), None) is None
    told = SimpleNamespace(files=SimpleNamespace(missing=("launch",)), sheet=SimpleNamespace(guide="guide"))
    assert scale_motor.launched(told, None) is None


# ------------------------------------------------------------------------- search and region


def test_what_does_not_go_weighs_more_than_any_vehicle_and_more_the_more_is_missing():
    go = Judged(mass_kg=900.0, missing=0.0, is_go=True)
    near, far = (Judged(mass_kg=1.0, missing=missing, is_go=False) for missing in (0.1, 0.2))
    assert (cost(go), cost(near), cost(far)) == (900.0, pytest.approx(1101.0), pytest.approx(1201.0))


def test_a_variable_is_rounded_to_its_step_within_its_ends():
    fins = Variable(kind=COUNT, name="fins", low=3.0, high=6.0)
    assert [fins.rounded(value) for value in (2.0, 3.4, 3.6, 9.0)] == [3.0, 3.0, 4.0, 6.0]
    for ends in ((6.0, 3.0), (3.0, 3.0), (-1.0, 3.0), (3.0, math.inf)):
        with pytest.raises(OutsideRange):
            Variable(kind=COUNT, name="fins", low=ends[0], high=ends[1])


def test_the_lightest_that_goes_is_found_in_the_net(monkeypatch):
    from finial.sizing import region

    monkeypatch.setattr(region, "changing", lambda _vehicle, _variables: lambda point: point)
    variables = tuple(Variable(kind=COUNT, name=name, low=0.0, high=2.0) for name in "ab")
    told = []

    def judge(point):
        first, second = point
        flies = point != (2.0, 0.0)
        return Judged(
            mass_kg=10.0 - first - 2 * second if flies else 0.0, missing=first, is_go=second < 2.0 and flies
        )

    found = go_region(None, variables, judge, steps=3, told=told.append)
    assert found.first.tolist() == found.second.tolist() == [0.0, 1.0, 2.0]
    assert found.lightest == (2, 1)
    assert math.isnan(found.mass_kg[2, 0])
    assert found.missing[:, 1].tolist() == [0.0, 1.0, 2.0]
    assert told[-1] == 1.0
    assert told[0] == pytest.approx(1 / 9)
    none = GoRegion(
        variables=variables, first=found.first, second=found.second, missing=found.missing,
        mass_kg=found.mass_kg, is_go=np.zeros((3, 3), dtype=bool),
    )  # fmt: skip
    assert none.lightest is None
    with pytest.raises(OutsideRange, match="steps = 1"):
        go_region(None, variables, judge, steps=1)


@pytest.mark.parametrize("steps", [1, 2, 3])
def test_a_net_has_two_points_each_way_at_least(monkeypatch, steps):
    monkeypatch.setattr(region, "changing", lambda _vehicle, _variables: lambda point: point)
    sides = (
        Variable(kind=COUNT, name="a", low=1.0, high=3.0),
        Variable(kind=COUNT, name="b", low=1.0, high=3.0),
    )

    def judge(_point):
        return Judged(mass_kg=1.0, missing=0.0, is_go=True)

    if steps < 2:
        with pytest.raises(OutsideRange, match="two or more"):
            go_region(None, sides, judge, steps=steps)
        return
    assert go_region(None, sides, judge, steps=steps).is_go.shape == (steps, steps)


def test_a_search_begins_as_wide_round_the_sheet_as_builders_change_a_design(monkeypatch):
    """Lows and highs over what the sheet has; walls of one piece are left to all walls."""
    pulls = [("walls", ""), ("walls", "nose"), ("charge", "main"), ("preload", "rods")]
    told = [SimpleNamespace(kind=TweakKind(kind), name=name) for kind, name in pulls]
    monkeypatch.setattr(usual, "pulls_of", lambda _vehicle: told)
    monkeypatch.setattr(usual, "of_the_sheet", lambda _sheet, _kind, _name: 10.0)
    monkeypatch.setattr(usual, "_motor", lambda _vehicle: ())
    canopies = (SimpleNamespace(name="main"),)
    vehicle = SimpleNamespace(sheet=SimpleNamespace(recovery=SimpleNamespace(canopy=canopies)))
    assert [(one.name, one.low, one.high) for one in usual.usual_variables(vehicle)] == [
        ("", pytest.approx(8.0), pytest.approx(15.0)),
        ("main", pytest.approx(7.0), pytest.approx(15.0)),
        ("rods", pytest.approx(6.0), pytest.approx(14.0)),
        ("", pytest.approx(8.0), pytest.approx(12.5)),
        ("main", pytest.approx(8.0), pytest.approx(12.5)),
    ]
