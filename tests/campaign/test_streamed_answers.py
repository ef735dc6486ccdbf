"""An answer piece by piece: what all flights at once come to, in memory that does not grow."""

import tracemalloc
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from finial.campaign import answers
from finial.campaign import flown as reading
from finial.campaign.campaign import planned
from finial.campaign.chunks import keep
from finial.campaign.flown import read_flown
from finial.campaign.landing import ellipse_of, landing_ellipse
from finial.campaign.quantiles import quantile, quantile_of_ranks, ranks_asked
from finial.campaign.ranked import PASSES, RankedNumbers
from finial.campaign.spot import Crowd, Spot
from finial.campaign.store import opened
from finial.flight.example import example_inputs
from finial.flight.kernel import spread_layout as slots
from finial.flight.kernel.layout import LANDED
from finial.flight.many import RESULTS, ManyFlights
from finial.flight.spread import BELL, Draw, Spread, canopy_slot, either_way, whole_mass
from finial.flight.uncertain import Drawn, Uncertain
from finial.report.campaign_files import campaign_files

OF_A_FILE, AT_ONCE = 5000, 4000
CEILING_M = 150.0
SPOT = Spot(
    ceiling_agl_m=CEILING_M,
    field_radius_m=150.0,
    crowd=Crowd(near_m=120.0, deep_m=20.0, bearing_rad=0.5, across_m=60.0),
)


def ranked(pieces: list[NDArray[np.float64]], ranks: Iterable[int]) -> dict[int, float]:
    found = RankedNumbers()
    for _ in range(PASSES):
        for piece in pieces:
            found.add(piece)
        found.passed(ranks)
    return dict(found.values)


NUMBERS = st.lists(
    st.one_of(
        st.floats(allow_nan=False, allow_infinity=False),
        st.sampled_from([0.0, -0.0, 1.0, 1.0 + 2**-52, -1.0, 5e-324, -5e-324]),
    ),
    min_size=1,
    max_size=30,
)


@given(NUMBERS, st.integers(1, 7))
def test_the_numbers_of_all_ranks_are_those_of_sorting(numbers: list[float], size: int) -> None:
    whole = np.array(numbers)
    pieces = [whole[low : low + size] for low in range(0, len(whole), size)]
    found = ranked(pieces, range(len(whole)))
    assert list(found.values()) == np.sort(whole).tolist()


@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
@pytest.mark.parametrize("count", [1, 2, 3, 59, 1001])
def test_a_quantile_of_ranks_is_numpys_own_with_the_same_bounds(share: float, count: int) -> None:
    values = np.random.default_rng(count).normal(size=count) * 1e3
    found = quantile_of_ranks(ranked([values[:7], values[7:]], ranks_asked(count, share)), count, share)
    assert found == quantile(values, share)
    assert found.value == np.quantile(values, share)


def test_an_ellipse_of_pieces_is_that_of_the_whole() -> None:
    points = np.random.default_rng(2).normal(size=(5000, 2)) * [300.0, 20.0] + [1e4, -50.0]
    whole = landing_ellipse(points)
    found = ellipse_of(lambda: np.array_split(points, 13))
    assert found.held == whole.held
    assert found.half_axes_m == pytest.approx(whole.half_axes_m, rel=1e-12)
    assert found.centre_m == pytest.approx(whole.centre_m, rel=1e-12)
    assert found.kurtosis == pytest.approx(whole.kurtosis, rel=1e-11)
    covariance = np.cov(points.T)
    assert np.prod(found.half_axes_m) == pytest.approx(5.991464547 * np.sqrt(np.linalg.det(covariance)))


def made_up(first: int, count: int) -> ManyFlights:
    """Flights of normal numbers; one in a hundred never landed, one in fifty was lost."""
    generator = np.random.default_rng(first)
    results = 100.0 * generator.normal(size=(count, len(RESULTS)))
    results[:, RESULTS.index("ended")] = np.where(generator.random(count) < 0.01, LANDED + 1, LANDED)
    results[:, RESULTS.index("loss")] = generator.random(count) < 0.02
    return ManyFlights(first=first, results=results, drawn=generator.random((count, 3)) - 0.5)


def kept(folder: Path, flights: int) -> Path:
    inputs = example_inputs()
    draws = (
        either_way(Uncertain(kind=Drawn.IMPULSE), slots.THRUST_FACTOR, 0.05, base=1.0, shape=BELL),
        either_way(Uncertain(kind=Drawn.WIND), slots.WIND_SPEED, 2.0, base=4.0, shape=BELL),
        Draw(
            number=Uncertain(kind=Drawn.STAYS_IN, of="main"),
            slot=canopy_slot(0, 1, "stays_in"),
            shape="odds",
            base=0.0,
            above=0.5,
        ),
    )
    spread = Spread(draws=draws, masses=whole_mass(inputs), wind_speed_m_s=4.0)
    opened(folder, planned("made up", inputs, spread, flights=flights, seed=3))
    for first in range(0, flights, OF_A_FILE):
        keep(folder, made_up(first, OF_A_FILE))
    return folder


@pytest.fixture
def small_pieces(monkeypatch: Any) -> None:
    monkeypatch.setattr(reading, "_AT_ONCE", AT_ONCE)
    monkeypatch.setattr(reading, "MOST_DRAWN", OF_A_FILE)
    monkeypatch.setattr(answers, "_AT_ONCE", AT_ONCE)
    monkeypatch.setattr("finial.report.campaign_files.MOST_SHOWN", OF_A_FILE)


def test_the_peak_of_an_answer_and_its_files_does_not_grow_with_the_flights(
    tmp_path: Path, small_pieces: None
) -> None:
    peaks: list[int] = []
    for flights in (4 * OF_A_FILE, 4 * OF_A_FILE, 24 * OF_A_FILE):  # the first one imports what it needs
        folder = tmp_path / str(len(peaks))
        folder.mkdir()
        kept(folder, flights)
        tracemalloc.start()
        flown = read_flown(folder)
        found = answers.campaign_answer(flown, SPOT)
        campaign_files("made up", flown, found, SPOT, None, us_units=False)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        assert found.flights == flights
    # One column of all flights more would be 0.8 MB more.
    assert peaks[2] - peaks[1] < 200_000, peaks


def test_what_is_told_piece_by_piece_is_told_of_every_flight(tmp_path: Path, small_pieces: None) -> None:
    flown = read_flown(kept(tmp_path, 4 * OF_A_FILE))
    found = answers.campaign_answer(flown, SPOT)
    apogees = flown.results["apogee_m"][~flown.lost]
    (scatter,) = [one for one in found.scatters if one.key == "apogee_m"]
    assert scatter.quantiles == tuple(quantile(apogees, share) for share in answers.SHARES)
    assert (scatter.flights, scatter.mean) == (apogees.size, pytest.approx(apogees.mean(), rel=1e-12))
    counts = {one.asked: one.count for one in found.odds}
    assert counts[answers.Asked.OVER_CEILING] == int(np.count_nonzero(apogees > CEILING_M))
    assert counts[answers.Asked.LOST] == int(flown.lost.sum())
    assert counts[answers.Asked.LANDS] == int(flown.landed.sum())
    whole = landing_ellipse(flown.landings_m(sound=True))
    assert found.ellipse is not None
    assert (found.ellipse.held, found.ellipse.half_axes_m) == (whole.held, pytest.approx(whole.half_axes_m))
    never, stuck = found.failures
    (failed,) = flown.failed.values()
    assert (never.flights, stuck.flights) == (flown.count - int(flown.landed.sum()), int(failed.sum()))
    far = np.hypot(flown.results["landing_east_m"], flown.results["landing_north_m"])
    assert stuck.farthest_m == far[failed & ~flown.lost].max()
    first = flown.first(OF_A_FILE + 1)
    assert first.count == OF_A_FILE + 1
    assert np.array_equal(first.results["apogee_m"], flown.results["apogee_m"][: OF_A_FILE + 1])
    (few,) = first.failed.values()
    assert np.array_equal(few, failed[: OF_A_FILE + 1])
