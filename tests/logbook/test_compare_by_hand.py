"""Log and prediction whose every number is known: what is set beside what, how far each moves, and why."""

from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.estimates import Estimate, KnownBy
from finial.flight.trace import EventKind
from finial.flown.falls import Fall
from finial.flown.happening import Certainty, LogEvent, Seen
from finial.logbook import compare
from finial.logbook.compare import ComparedNumber, compared
from finial.logbook.cord import cord_then
from finial.logbook.sampled import sampled
from finial.logbook.unknowns import Unknown, UnknownKind

DRAG = Unknown(kind=UnknownKind.DRAG, value=1.0, sigma=0.1, low=0.3, high=3.0)
WIND = Unknown(kind=UnknownKind.WIND, value=5.0, sigma=2.0, low=0.0, high=6.5)
NINETY = 1.6449
STEP_S = 0.01


def about(value, half=0.0):
    return Estimate(value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED)


def flight(drag, wind):
    """Lifts off at 0.5 s from 4 m; up at an even speed until 10.5 s, down at 8 m/s"""
    top = 400.0 - 300.0 * (drag - 1.0) - 2.0 * (wind - 5.0)
    end = 10.5 + top / 8.0
    times = np.arange(0.0, end + STEP_S, STEP_S)
    rise = np.interp(times, [0.5, 10.5, end], [0.0, top, 0.0])
    climb = np.select([times < 0.5, times < 10.5, times < end], [0.0, top / 10.0, -8.0], 0.0)
    felt = np.interp(times, [0.5, 0.51, 2.5, 2.51], [9.8, 60.0, 60.0, -5.0])
    events = tuple(
        SimpleNamespace(kind=kind, time_s=time_s)
        for kind, time_s in (
            (EventKind.LIFT_OFF, 0.5),
            (EventKind.RAIL_EXIT, 1.0),
            (EventKind.BURNOUT, 2.5),
            (EventKind.APOGEE, 10.5),
            (EventKind.OUT, 11.5),
            (EventKind.GROUND, end),
        )
    )
    zero = np.zeros(len(times))
    return SimpleNamespace(
        times_s=times,
        positions_m=np.column_stack(
            [np.linspace(0.0, 3.0 * wind, len(times)), np.linspace(0.0, 4.0 * wind, len(times)), 4.0 + rise]
        ),
        velocities_m_s=np.column_stack([zero, zero, climb]),
        accelerations_m_s2=np.column_stack([felt, zero, zero]),
        events=events,
        event=lambda kind: next((one for one in events if one.kind is kind), None),
        landed=True,
    )


def seen(kind, time_s, speed_m_s=0.0, half_s=0.1):
    return LogEvent(
        kind=kind, time=about(time_s, half_s), height_m=0.0, speed_m_s=speed_m_s, certainty=Certainty.SURE
    )


def log(**changes):
    times = np.arange(-1.0, 60.0, STEP_S)
    story = SimpleNamespace(
        climb=SimpleNamespace(
            times_s=times,
            heights_m=np.interp(times, [0.0, 10.0, 50.0], [0.0, 361.0, 0.0]),
            speeds_m_s=np.interp(times, [0.0, 2.0, 10.0, 60.0], [0.0, 90.0, 0.0, 0.0]),
            height_sigmas_m=np.full(len(times), 4.0),
            speed_sigmas_m_s=np.full(len(times), 0.3),
            felt=True,
        ),
        reading=SimpleNamespace(
            sensed=SimpleNamespace(
                times_s=times,
                axial_m_s2=np.where(times < 2.0, 58.0, -4.0),
                felt_noise_m_s2=0.5,
                has_axial=True,
                east_north_m=np.column_stack(
                    [np.where(times > 50.0, 15.0, 99.0), np.where(times > 50.0, 20.0, 99.0)]
                ),
            )
        ),
        push=SimpleNamespace(at_least=False),
        falls=(Fall(start_s=20.0, end_s=30.0, from_m=200.0, to_m=120.0, rate=about(8.0, 0.2)),),
        happenings=(
            seen(Seen.RAIL_EXIT, 0.5, 22.0),
            seen(Seen.BURNOUT, 2.0),
            seen(Seen.APOGEE, 10.0),
            seen(Seen.SEPARATION, 11.0, -8.0),
            seen(Seen.LANDING, 50.0, half_s=0.5),
        ),
    )
    for name, value in changes.items():
        setattr(story, name, value)
    story.when = lambda kind: next((one for one in story.happenings if one.kind is kind), None)
    return story


@pytest.fixture
def beside(monkeypatch):
    """Compare a log with a model that is a line: flights cost nothing."""
    tried = []
    monkeypatch.setattr(
        compare, "changed_inputs", lambda _inputs, told, wind: tried.append((told, wind)) or told
    )
    monkeypatch.setattr(compare, "fly_stepping", lambda told, _how: flight(told["drag"], told["wind"]))
    monkeypatch.setattr(compare, "evidence", lambda *_: ())

    def comparison(story=None, *, drag=1.1, wind=6.0, others=()):
        learnt = tuple(
            SimpleNamespace(unknown=unknown, after=about(value, 0.02))
            for unknown, value in ((DRAG, drag), (WIND, wind))
        )
        fit = SimpleNamespace(learnt=learnt, trace=flight(drag, wind), covariance=np.diag([1e-4, 1e-2]))
        inputs = SimpleNamespace(rail=SimpleNamespace(tilt_rad=0.0), air=SimpleNamespace(pressure_pa=1e5))
        spread = SimpleNamespace(wind_speed_m_s=5.0)
        found = compared(story or log(), fit, inputs, spread, others)
        return {one.quantity: one for one in found.differences}

    comparison.tried = tried
    return comparison


def test_every_number_of_a_log_stands_beside_the_same_of_the_model(beside):
    found = beside()
    numbers = {key: (one.measured.value, one.predicted.value, one.corrected) for key, one in found.items()}
    # Predicted of a top of 400 m, corrected of 368 m; 50 m and 46 m the second farther down at 8 m/s.
    assert numbers == {
        ComparedNumber.APOGEE: pytest.approx((361.0, 400.0, 368.0)),
        ComparedNumber.FASTEST: pytest.approx((90.0, 40.0, 36.8)),
        ComparedNumber.PUSH: pytest.approx((58.0, 60.0, 60.0), abs=0.01),
        ComparedNumber.APOGEE_TIME: pytest.approx((10.0, 10.0, 10.0)),
        ComparedNumber.LANDING: pytest.approx((50.0, 60.0, 56.0)),
        ComparedNumber.SEPARATION: pytest.approx((11.0, 11.0, 11.0)),
        ComparedNumber.RAIL_EXIT: pytest.approx((22.0, 40.0, 36.8)),
        ComparedNumber.BURNOUT: pytest.approx((2.0, 2.01, 2.01), abs=0.011),
        ComparedNumber.SEPARATION_SPEED: pytest.approx((-8.0, -8.0, -8.0)),
        ComparedNumber.FALL: pytest.approx((8.0, 8.0, 8.0)),
        ComparedNumber.DRIFT: pytest.approx((25.0, 25.0, 30.0)),
    }
    assert found[ComparedNumber.FALL].height_m == 160.0


def test_what_is_measured_is_known_to_noise_and_a_share(beside):
    halves = {key: one.measured.half_width for key, one in beside().items()}

    def nine_in_ten(sigma, of_value):
        return pytest.approx(NINETY * float(np.hypot(sigma, of_value)), rel=1e-3)

    assert halves[ComparedNumber.APOGEE] == nine_in_ten(4.0, 3.61)
    assert halves[ComparedNumber.FASTEST] == nine_in_ten(0.3, 0.9)
    assert halves[ComparedNumber.PUSH] == nine_in_ten(0.5, 0.58)
    assert halves[ComparedNumber.RAIL_EXIT] == nine_in_ten(0.3, 0.44)
    assert halves[ComparedNumber.SEPARATION_SPEED] == nine_in_ten(0.5, 0.24)
    assert halves[ComparedNumber.DRIFT] == nine_in_ten(3.0, 0.0)
    assert halves[ComparedNumber.BURNOUT] == pytest.approx(0.1)


def test_the_band_before_the_flight_is_that_of_what_was_not_known(beside):
    found = beside()[ComparedNumber.APOGEE]
    # 300 m a unit of drag, known to 0.1; 2 m a metre a second of wind, known to 2.
    assert found.predicted.half_width == pytest.approx(NINETY * float(np.hypot(30.0, 4.0)), rel=1e-3)
    (drag,) = found.causes
    assert (drag.unknown, drag.odds) == (DRAG, 1.0)
    assert drag.explains == pytest.approx(-30.0)
    # Each number is moved alone by what the log moved it.
    assert beside.tried[:3] == [
        ({"drag": 1.0, "wind": 5.0}, 5.0),
        ({"drag": 1.1, "wind": 5.0}, 5.0),
        ({"drag": 1.0, "wind": 6.0}, 5.0),
    ]


def test_causes_come_largest_first_and_pull_the_way_of_the_difference(beside):
    less, more = beside(drag=1.01, wind=6.4)[ComparedNumber.APOGEE], log()
    assert [(one.unknown.kind, round(one.explains, 2)) for one in less.causes] == []
    more.climb.heights_m = more.climb.heights_m / 361.0 * 410.0
    found = beside(more, drag=0.98, wind=6.0)[ComparedNumber.APOGEE]
    assert [(one.unknown.kind, round(one.explains, 1)) for one in found.causes] == [
        (UnknownKind.DRAG, 6.0),
        (UnknownKind.WIND, -2.0),
    ]


def test_a_number_that_hardly_moved_is_tried_by_its_own_doubt_and_inside_its_ends(beside):
    beside(drag=1.02, wind=5.1)
    told = [one for one, _ in beside.tried[1:3]]
    # Two hundredths are less than three tenths of 0.1; the wind's 2 m/s up would be past 6.5.
    assert told[0] == {"drag": pytest.approx(1.1), "wind": 5.0}
    assert told[1] == {"drag": 1.0, "wind": 3.0}


def test_what_the_log_does_not_show_is_not_compared(beside):
    bare = log(push=None, falls=(), happenings=())
    assert set(beside(bare)) == {ComparedNumber.APOGEE, ComparedNumber.FASTEST}
    deaf = log()
    deaf.climb.felt = deaf.reading.sensed.has_axial = False
    assert not {ComparedNumber.RAIL_EXIT, ComparedNumber.BURNOUT} & set(beside(deaf))
    full = log(push=SimpleNamespace(at_least=True))
    assert ComparedNumber.PUSH not in beside(full)


def test_another_log_tells_the_drift_where_the_first_has_no_places(beside):
    lost = log()
    lost.reading.sensed.east_north_m = None
    assert ComparedNumber.DRIFT not in beside(lost)
    assert beside(lost, others=(log(),))[ComparedNumber.DRIFT].measured.value == pytest.approx(25.0)


def pulled(offset_s, peak_n, margin, wind="day"):
    return SimpleNamespace(offset_s=offset_s, peak_n=peak_n, margin=margin, wind=wind)


def test_a_cord_is_judged_by_the_events_next_to_the_one_that_was():
    cases = [
        pulled(2.0, 900.0, 0.4),
        pulled(0.0, 300.0, 2.0),
        pulled(1.0, 500.0, 1.0),
        pulled(1.2, 9e9, -9.0, "strong"),
    ]
    tether = SimpleNamespace(cord="shock cord", cases=cases)
    amid, at, late, early = (cord_then(tether, late_s) for late_s in (1.5, 1.0, 2.5, -0.5))
    assert (amid.pull_n, amid.margin, amid.beyond) == (900.0, 0.4, False)
    assert (at.pull_n, at.margin, at.beyond) == (500.0, 1.0, False)
    assert (late.pull_n, late.margin, late.beyond) == (900.0, 0.4, True)
    assert (early.pull_n, early.margin, early.beyond) == (300.0, 2.0, True)
    cases[0].margin = None
    assert cord_then(tether, 1.5).margin is None
    assert cord_then(tether, 0.5).margin == 1.0


def logged(**changes):
    """Ten readings a tenth of a second until the apogee at 2 s; a line up, a line down, 3 m off at 1.25 s."""
    times = np.round(np.arange(-1.0, 12.0, 0.01), 6) + 0.005
    told = {
        "times_s": times,
        "heights_m": np.interp(times, [0.0, 2.0, 10.0], [0.0, 100.0, 20.0]),
        "height_noise_m": 0.8,
        "axial_m_s2": np.where(times < 1.0, 50.0, -3.0),
        "felt_noise_m_s2": 0.6,
        "saturated": np.zeros(len(times), dtype=bool),
        "east_north_m": np.column_stack([2.0 * times, -times]),
        "heights_by_satellites": False,
    }
    sensed = SimpleNamespace(**{**told, **changes})
    happened = {Seen.APOGEE: 2.0, Seen.SEPARATION: 1.7, Seen.LANDING: 10.0}
    return SimpleNamespace(
        reading=SimpleNamespace(sensed=sensed, lift_off=about(0.0, 0.02)),
        climb=SimpleNamespace(times_s=np.array([-1.0, 12.0]), speeds_m_s=np.array([50.0, 50.0])),
        when=lambda kind: seen(kind, happened[kind]),
    )


def test_a_log_is_thinned_to_tenths_before_the_apogee_and_seconds_after():
    found = sampled(logged())
    middles = found.height_times_s.mean(axis=1)
    # From half a second before lift-off; until a second before the landing.
    assert middles[[0, 24]] == pytest.approx([-0.45, 1.95], abs=1e-6)
    assert middles[25:] == pytest.approx(np.arange(2.5, 8.0), abs=1e-6)
    assert found.heights_m[[9, 20, 25]] == pytest.approx([22.5, 77.5, 95.0], abs=1e-6)
    # Ten and a hundred readings of 0.8 m, and what no mean is better than.
    assert found.height_sigmas_m[[0, 25]] == pytest.approx(np.hypot([0.8 / 10**0.5, 0.08], 0.15))
    # Four times inside each mean stand for its width.
    assert found.height_times_s[0] == pytest.approx([-0.4872, -0.4624, -0.4376, -0.4128], abs=1e-3)
    assert (found.apogee_s, found.lift_off_sigma_s, found.by_satellites) == (2.0, 0.05, False)


def test_pushes_are_kept_until_something_comes_out_and_places_until_the_landing():
    found = sampled(logged())
    assert found.felt_times_s.mean(axis=1)[[0, -1]] == pytest.approx([-0.15, 1.35], abs=0.06)
    assert found.felt_times_s.mean(axis=1)[-1] < 1.5
    assert found.felt_m_s2[[0, -1]].tolist() == [50.0, -3.0]
    assert found.felt_sigmas_m_s2[0] == pytest.approx((0.036 + 0.01 + 0.25) ** 0.5)
    assert found.place_times_s.mean(axis=1) == pytest.approx(np.arange(0.5, 8.0), abs=1e-6)
    assert found.east_north_m[1] == pytest.approx([3.0, -1.5])
    without = sampled(logged(east_north_m=None))
    assert (without.place_times_s.shape, without.east_north_m.shape) == ((0, 4), (0, 2))


def test_readings_near_the_speed_of_sound_and_spikes_of_a_charge_are_left_out():
    fast = logged()
    fast.climb.speeds_m_s = np.array([290.0, 290.0])
    assert len(sampled(fast).heights_m) == 0
    fast.climb.speeds_m_s = np.array([-289.0, -289.0])
    assert len(sampled(fast).heights_m) == 31
    story = logged()
    sensed = story.reading.sensed
    charge = (sensed.times_s > 1.2) & (sensed.times_s < 1.3)
    sensed.heights_m = sensed.heights_m + np.where(charge, 15.5, 0.0)
    assert len(sampled(story).heights_m) == 31
    sensed.heights_m = sensed.heights_m + np.where(charge, 1.0, 0.0)
    assert len(sampled(story).heights_m) == 30
