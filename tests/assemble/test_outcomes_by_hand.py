"""What flights come to, on paper: losses, openings, arms of thrust, a motor unlit."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from made_by_hand import about, canopy, quantity

from finial.assemble.flights import one_unlit, outcome, thrust_line
from finial.assemble.flights.results import UNHELD_RAD, Loss
from finial.core.estimates import exact
from finial.flight.trace import EventKind


class Flown(SimpleNamespace):
    def event(self, kind, canopy=None):
        return next((one for one in self.events if one.kind is kind and canopy in (None, one.canopy)), None)


def event(kind, time=1.0, canopy="", height=0.0):
    return SimpleNamespace(kind=kind, time_s=time, canopy=canopy, height_agl_m=height)


def flights(**traces):
    return SimpleNamespace(every=tuple(traces.values()), named=traces, nominal=next(iter(traces.values())))


def test_a_canopy_is_open_only_if_it_is_in_every_flight():
    high, low = (Flown(events=(event(EventKind.OPEN, canopy="main", height=at),)) for at in (300.0, 250.0))
    never = Flown(events=())
    found = outcome.canopy_opening(flights(nominal=high, weak=low), "main")
    assert (found.canopy, found.height_agl.low, found.height_agl.value) == ("main", 250.0, 300.0)
    assert outcome.canopy_opening(flights(nominal=high, weak=never), "main").height_agl is None


def test_values_of_the_flights_are_an_interval_about_the_nominal_one():
    found = outcome._between([3.0, 1.0, 5.0])
    assert (found.low, found.value, found.high) == (1.0, 3.0, 5.0)
    two = flights(a=SimpleNamespace(x=2.0), b=SimpleNamespace(x=None))
    assert outcome._over(two, lambda trace: trace.x) is None
    assert outcome._over(flights(a=SimpleNamespace(x=2.0)), lambda trace: trace.x).value == 2.0


@pytest.fixture
def spoiled(monkeypatch):
    told = SimpleNamespace(over=None, early=(), burnt_out=3.0)
    monkeypatch.setattr(outcome, "thrust_ends", lambda trace: told.burnt_out)
    monkeypatch.setattr(outcome, "turned_over", lambda trace: told.over)
    monkeypatch.setattr(outcome, "under_thrust", lambda trace: SimpleNamespace(early=told.early))
    return told


def trace(*events, landed=True, last=60.0):
    return Flown(events=(event(EventKind.RAIL_EXIT), *events), landed=landed, times_s=np.array([0.0, last]))


def losses(one):
    return [(lost.loss, lost.time_s, lost.under_thrust) for lost in outcome._losses("nominal", one)]


def test_a_sound_flight_loses_nothing_and_each_loss_is_told_when_it_comes(spoiled):
    assert losses(trace()) == []
    spoiled.over = 2.0
    assert losses(trace()) == [(Loss.TURNED_OVER, 2.0, True)]
    spoiled.over = 3.0
    assert losses(trace()) == [(Loss.TURNED_OVER, 3.0, False)]
    spoiled.over, spoiled.early = (
        None,
        (event(EventKind.OUT, 2.5), event(EventKind.GROUND, 2.8), event(EventKind.OPEN, 2.9)),
    )
    assert losses(trace()) == [(Loss.EARLY_CANOPY, 2.5, True), (Loss.GROUND_UNDER_THRUST, 2.8, True)]
    spoiled.early = ()
    assert losses(trace(landed=False)) == [(Loss.NOT_FOLLOWED, 60.0, False)]
    assert losses(trace(landed=False, last=3.0)) == [(Loss.NOT_FOLLOWED, 3.0, True)]
    stuck = Flown(events=(), landed=True, times_s=np.array([0.0, 9.0]))
    assert losses(stuck) == [(Loss.NEVER_LEFT, 9.0, True)]


def test_of_several_losses_the_first_is_told(spoiled):
    spoiled.over, spoiled.early = 2.0, (event(EventKind.OUT, 1.5),)
    (lost,) = outcome._lost(flights(nominal=trace()))
    assert (lost.flight, lost.loss) == ("nominal", Loss.EARLY_CANOPY)
    spoiled.over, spoiled.early = None, ()
    assert list(outcome._lost(flights(nominal=trace()))) == []


def test_an_event_is_counted_from_the_end_of_the_thrust(spoiled, monkeypatch):
    times = iter([10.0, None, 12.0])
    monkeypatch.setattr(outcome, "trigger_time", lambda trace, trigger, threshold: next(times))
    apogee = canopy().event
    found = outcome._after_burnout(flights(a=trace(), b=trace(), c=trace()), apogee, 0.5)
    assert (found.value, found.high) == (7.5, 9.5)
    monkeypatch.setattr(outcome, "trigger_time", lambda trace, trigger, threshold: None)
    assert outcome._after_burnout(flights(a=trace()), apogee) is None


def test_thrust_passes_beside_the_balance_by_offsets_and_by_the_lean_of_its_line(monkeypatch):
    monkeypatch.setattr(
        thrust_line,
        "_across",
        lambda *given: ((about(0.0, -3e-3, 3e-3), about(0.0, -4e-3, 4e-3)), (exact(0.0), exact(0.0))),
    )
    monkeypatch.setattr(thrust_line, "reach", lambda scatter, what: 0.01)
    monkeypatch.setattr(thrust_line, "thrust_arm", lambda thrust, centre: 0.002)
    inputs = SimpleNamespace(
        mass=SimpleNamespace(centres_m=np.array([[-0.8, 0.0, 0.0]])),
        thrust=SimpleNamespace(nozzle_station_m=1.2),
    )
    arm = thrust_line._arm(SimpleNamespace(sheet=SimpleNamespace(scatter=None)), (), inputs)
    # 3 and 4 mm at right angles, and sin 0.01 over the 400 mm from the nozzle to the balance point.
    off = 0.005 + math.sin(0.01) * 0.4
    assert (arm.low, arm.value, arm.high) == pytest.approx((0.0, 0.002, 0.002 + off))


def test_the_balance_may_lie_aside_by_the_tolerance_of_what_is_heavy(monkeypatch):
    monkeypatch.setattr(thrust_line, "reach", lambda scatter, what, offset: 0.001 + offset.value)
    item = SimpleNamespace(name="shot", offset=(quantity(0.0, 0.01), quantity(0.0, 0.02)))
    rows = (
        SimpleNamespace(name="shot", kind="item", mass=exact(2.0)),
        SimpleNamespace(name="tower", kind="part", mass=exact(8.0)),
    )
    sheet = SimpleNamespace(
        scatter=None, motor=SimpleNamespace(offset=(quantity(0.0), quantity(0.002))), item=(item,)
    )
    inputs = SimpleNamespace(
        mass=SimpleNamespace(masses_kg=np.array([10.0]), centres_m=np.array([[-0.8, 0.001, 1e-10]])),
        thrust=SimpleNamespace(offset_m=(0.0, 0.003)),
    )
    (y, z), (line_y, line_z) = thrust_line._across(SimpleNamespace(sheet=sheet), rows, inputs)
    assert (y.low, y.value, y.high) == pytest.approx((-0.001, 0.001, 0.003))
    assert (z.low, z.value, z.high) == pytest.approx((-0.004, 0.0, 0.004))
    assert (line_y.high, line_z.low, line_z.high) == pytest.approx((0.001, 0.0, 0.006))


def test_the_row_at_rail_exit_is_the_first_sample_after_it():
    one = Flown(events=(event(EventKind.RAIL_EXIT, 0.25),), times_s=np.array([0.0, 0.1, 0.2, 0.3]))
    assert thrust_line._row_at_exit(one) == 3
    assert thrust_line._row_at_exit(Flown(events=(), times_s=one.times_s)) is None


def test_a_cluster_with_one_motor_unlit_leaves_slower_and_turns_about_what_is_left(monkeypatch):
    asked = []

    def held(table, mach, balances, moments, pressure):
        asked.append((mach, *balances, *moments, pressure))
        return [None if moments[0] > 50.0 else 0.2]

    monkeypatch.setattr(one_unlit, "held_angles", held)
    given = SimpleNamespace(
        air_table=None, mass=SimpleNamespace(masses_kg=np.array([10.0]), centres_m=np.array([[-0.8, 0, 0]]))
    )
    flight = Flown(
        events=(event(EventKind.RAIL_EXIT, 0.2),), times_s=np.array([0.1, 0.2, 0.3]),
        thrusts_n=np.array([0.0, 500.0, 0.0]), machs=np.array([0.0, 0.06, 0.0]),
        dynamic_pressures_pa=np.array([0.0, 240.0, 0.0]),
    )  # fmt: skip
    assert one_unlit._angle(given, flight, 0.5, 0.04) == 0.2
    weight = 98.0665
    slower = (250.0 - weight) / (500.0 - weight)
    assert asked[0] == pytest.approx((0.06 * math.sqrt(slower), 0.8, 10.0, 240.0 * slower))
    assert one_unlit._angle(given, flight, 0.5, 0.4) == UNHELD_RAD
    assert one_unlit._angle(given, flight, 0.19, 0.04) == 0.0  # it does not lift off


def test_a_motor_unlit_takes_its_share_of_the_impulse_and_the_worst_of_all_is_told(monkeypatch):
    """Three motors of 100, 200 and 100 N s: without the second half of the thrust is left."""
    monkeypatch.setattr(one_unlit, "total_impulse", lambda motor: motor.impulse)
    monkeypatch.setattr(one_unlit, "line_without", lambda vehicle, number: SimpleNamespace(
        nozzle_station_m=1.2, offset_m=(0.01 * (number + 1), 0.0), tilt_rad=(0.0, 0.0)
    ))  # fmt: skip
    monkeypatch.setattr(one_unlit, "replace", lambda thrust, **changed: SimpleNamespace(**changed))
    monkeypatch.setattr(one_unlit, "thrust_arm", lambda thrust, centre: thrust.offset_m[0])
    monkeypatch.setattr(one_unlit, "_angle", lambda given, flight, kept, arm: kept * arm * given.times)
    motors = [
        SimpleNamespace(name=name, impulse=impulse)
        for name, impulse in (("a", 100.0), ("b", 200.0), ("c", 100.0))
    ]
    left = Flown(events=(event(EventKind.RAIL_EXIT),))
    given = {
        name: SimpleNamespace(thrust=None, times=times, mass=SimpleNamespace(centres_m=[0.0]))
        for name, times in (("nominal", 2.0), ("weak", 1.0), ("strong", 3.0))
    }
    flown = SimpleNamespace(every=(left, left, left), named=dict.fromkeys(given, left), inputs=given)
    worst = one_unlit.one_unlit(SimpleNamespace(motors=motors), flown)
    # Without the third three quarters are left on 30 mm, without the second a half on 20.
    assert (worst.motor, worst.number, worst.count) == ("c", 3, 3)
    assert worst.arm_m == pytest.approx(0.03)
    assert (worst.held_angle.low, worst.held_angle.value, worst.held_angle.high) == pytest.approx(
        (0.0225, 0.045, 0.0675)
    )
    second = one_unlit._without(SimpleNamespace(motors=motors), flown, 1)
    assert second.held_angle.value == pytest.approx(0.5 * 0.02 * 2.0)
    assert one_unlit.one_unlit(SimpleNamespace(motors=motors[:1]), flown) is None
    stuck = SimpleNamespace(every=(left, Flown(events=())), named={}, inputs={})
    assert one_unlit.one_unlit(SimpleNamespace(motors=motors), stuck) is None
