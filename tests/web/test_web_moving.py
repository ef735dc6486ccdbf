"""What moves on the page: attitude and wind by hand, a pull that is not lost in thinning, a fin's net."""

import math
from collections.abc import Callable, Coroutine
from dataclasses import replace

import httpx
import numpy as np
import pytest

from finial.assemble.recovery.records import FollowedPieces, FollowedScene
from finial.assemble.strength.fins.records import FinModePicture
from finial.atmosphere.wind import WindProfile
from finial.findings.readiness import Readiness
from finial.flight.trace import EventKind, FlightEvent
from finial.recovery.tether.scene import Mouth, Piece, TetherLine, Tie
from finial.web.app import create_app
from finial.web.moving.fins import deflected, fin_net, lag_words, tip_lag_rad
from finial.web.moving.path import flight_path
from finial.web.moving.separation import moved_scene
from finial.web.session import Session

from .conftest import PAGE_KEY, with_key

PORT = 8773


@pytest.fixture
def leaning(readiness: Readiness) -> Readiness:
    """A flight whose nose points 30 degrees above the horizon due east until a canopy comes out at 12 s."""
    trace = readiness.flight.trace
    # Body x turned up from east by 30 degrees about north: half the angle, negative about +north.
    half = math.radians(30.0) / 2
    turned = np.tile([math.cos(half), 0.0, -math.sin(half), 0.0], (len(trace.times_s), 1))
    out = FlightEvent(kind=EventKind.OUT, canopy="main", time_s=12.0, height_agl_m=500.0, speed_m_s=10.0)
    events = (*trace.events[:2], out, trace.events[2])
    wind = WindProfile(
        heights_m=np.array([0.0, 1000.0]), east_m_s=np.array([3.0, 3.0]), north_m_s=np.array([4.0, 4.0])
    )
    flight = replace(
        readiness.flight, trace=replace(trace, quaternions=turned, events=events), wind_over=wind
    )
    return replace(readiness, flight=flight)


def test_the_nose_points_where_the_quaternion_says_and_nobody_knows_under_a_canopy(
    leaning: Readiness,
) -> None:
    told = flight_path(leaning)
    axes = {event.name: event.axis for event in told.events}
    assert axes["apogee"] == pytest.approx((math.cos(math.radians(30.0)), 0.0, 0.5), abs=1e-4)
    assert (axes["main out"], axes["ground"]) == (None, None)
    noses = {row[0]: row[-1] for row in told.table.rows}
    assert (noses["apogee"], noses["ground"]) == ("30 deg", "not known")
    known = [axis is not None for axis in told.axes]
    assert known == sorted(known, reverse=True)
    assert told.times_s[known.index(False)] >= 12.0


def test_every_event_stands_on_the_path_at_its_own_time(leaning: Readiness) -> None:
    told = flight_path(leaning)
    trace = leaning.flight.trace
    for event in told.events:
        there = [np.interp(event.time_s, trace.times_s, trace.positions_m[:, axis]) for axis in range(3)]
        assert event.at == pytest.approx(there, abs=0.6)
    ends = [np.array(point) for point in (told.points[0], told.points[-1])]
    assert np.allclose(ends, trace.positions_m[[0, -1]], atol=0.01)


def test_wind_is_told_by_where_it_comes_from(leaning: Readiness, readiness: Readiness) -> None:
    told = flight_path(leaning)
    # Blowing to 36.87 degrees, 3 east and 4 north, it comes from 216.87.
    assert all("5 m/s from 217 deg" in one.says for one in told.wind)
    assert {(one.east, one.north) for one in told.wind} == {(3.0, 4.0)}
    assert flight_path(readiness).wind == ()


@pytest.fixture
def scene() -> FollowedScene:
    """Ten thousand moments of two sides that part; one pull of 900 N, at 1.2345 s alone."""
    times = np.linspace(0.0, 5.0, 10_001)
    tensions = np.zeros((len(times), 2))
    tensions[2469, 0] = 900.0
    use = np.zeros(len(times))
    use[2469] = 0.5
    places = np.zeros((len(times), 3, 2))
    places[:, 0, 0] = times
    case = FollowedPieces(
        offset_s=2.0,
        wind="windy",
        times_s=times,
        places_m=places,
        angles_rad=np.zeros((len(times), 3)),
        tensions_n=tensions,
        bends_rad=np.full(len(times), math.pi / 2),
        lip_use=use,
    )
    line = TetherLine(
        name="cord, from the bay",
        first=Tie(piece=1, along_m=0.1),
        second=Tie(piece=2),
        length_m=4.0,
        load_per_stretch_n=1000.0,
        mouth=Mouth(along_m=0.3, radius_m=0.04, towards_fore=True),
    )
    pieces = tuple(
        Piece(name=name, mass_kg=1.0, fore_m=0.2, aft_m=0.3, radius_m=0.05)
        for name in ("fore", "aft", "link")
    )
    return FollowedScene(pieces=pieces, lines=(line, line), cases=(case,))


def test_a_short_pull_is_not_lost_between_two_moments_shown(scene: FollowedScene) -> None:
    told = moved_scene("a joint parts", scene, us_units=False)
    (case,) = told.cases
    assert len(case.times_s) < 200
    assert max(max(row) for row in case.tensions) == 900.0
    assert case.name == "2 s late, strongest wind entered"
    assert "1.23 s after it parts, 900 N" in case.says
    assert "50% of what it holds, the cord bent by 90°" in case.says
    assert case.along[-1][0] == pytest.approx(5.0)
    assert (told.lines[0].mouth, told.lines[0].ties) == (0.3, (0.1, 0.0))


def test_us_units_are_feet_and_pounds_and_no_lip_is_not_known(scene: FollowedScene) -> None:
    (case,) = scene.cases
    unsaid = replace(scene, cases=(replace(case, lip_use=None),))
    told = moved_scene("a joint parts", unsaid, us_units=True)
    assert (told.unit, told.force_unit) == ("ft", "lbf")
    assert told.cases[0].along[-1][0] == pytest.approx(5.0 / 0.3048, abs=1e-3)
    assert told.cases[0].lip_use is None
    assert "not known" in told.cases[0].says


def test_a_net_lies_on_the_fin_and_takes_its_swing() -> None:
    """A right triangle 200 mm at the root and 100 mm high, swung out as it is high."""
    outline = np.array([[0.0, 0.0], [0.2, 0.1], [0.2, 0.0]])
    net = fin_net(outline)
    middle = net[len(net) // 2]
    assert middle[[0, -1]] == pytest.approx(np.array([[0.1, 0.05], [0.2, 0.05]]), abs=1e-6)
    modes = FinModePicture(
        corners_m=outline,
        triangles=np.array([[0, 1, 2]]),
        deflections=outline[:, 1:] / 0.1,
        frequencies_hz=np.array([50.0]),
    )
    assert deflected(modes, modes.deflections[:, 0], net) == pytest.approx(net[..., 1] / 0.1, abs=1e-6)


def test_the_lag_of_twist_behind_bending_is_that_of_the_tip() -> None:
    """Bending of 1 and twist of 0.5 that comes 40 degrees later: its turn is 40 degrees behind."""
    late = 0.5 * np.exp(-1j * math.radians(40.0))
    swing = np.array([[9.0, 9.0, 9.0], [1.0 + late, 1.0, 1.0 - late]])
    lag = tip_lag_rad(swing)
    assert lag == pytest.approx(math.radians(-40.0))
    assert lag_words(lag) == "The tip's twist, leading edge out, runs 40° behind its bending."
    assert "40° ahead of" in lag_words(-lag)
    assert tip_lag_rad(np.ones((2, 3), dtype=complex)) is None
    assert lag_words(None).startswith("Its tip all but bends only")


def test_what_was_not_looked_at_is_missing_on_the_page(
    session: Session, in_a_loop_of_its_own: Callable[[Coroutine], httpx.Response]
) -> None:
    async def ask() -> httpx.Response:
        transport = httpx.ASGITransport(app=create_app(session, port=PORT, key=PAGE_KEY))
        async with httpx.AsyncClient(
            transport=transport, base_url=f"http://127.0.0.1:{PORT}", cookies=with_key(PORT)
        ) as client:
            return await client.post("/api/moving?units=us", json={})

    told = in_a_loop_of_its_own(ask()).json()
    assert (told["separations"], told["fins"], told["path"]["unit"]) == ([], [], "ft")
    assert [event["name"] for event in told["path"]["events"]] == ["rail exit", "apogee", "ground"]
    # Nothing is tried: the whole look was taken when the page opened.
    assert told["look"] == "taken"
