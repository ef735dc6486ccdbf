"""Pieces of a campaign on paper: processes that die, failures in strata, what a sample adds to a share."""

from concurrent.futures import ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest

from finial.campaign import processes, rare, sensitivity
from finial.campaign.asked import Asked
from finial.campaign.processes import Processes
from finial.campaign.store import opened
from finial.core.errors import CampaignError
from finial.flight.many import RESULTS


def test_processes_that_keep_dying_are_given_up_after_five_tries(monkeypatch):
    tried = []

    def once(_self, _campaign, ranges):
        tried.append(ranges)
        raise BrokenProcessPool

    monkeypatch.setattr(processes, "make_many_ready", lambda: None)
    monkeypatch.setattr(Processes, "_once", once)
    with pytest.raises(CampaignError, match="died 5 times"):
        list(Processes(2).flown(None, [(0, 5), (5, 10)]))
    assert tried == [[(0, 5), (5, 10)]] * 5


def test_what_came_back_before_a_process_died_is_not_flown_again(monkeypatch):
    tried = []

    def once(_self, _campaign, ranges):
        tried.append(ranges)
        yield SimpleNamespace(first=ranges[0][0], results=[0] * 5)
        if len(tried) == 1:
            raise BrokenProcessPool

    monkeypatch.setattr(processes, "make_many_ready", lambda: None)
    monkeypatch.setattr(Processes, "_once", once)
    flown = list(Processes(2).flown(None, [(5, 10), (0, 5)]))
    assert [one.first for one in flown] == [0, 5]
    assert tried == [[(0, 5), (5, 10)], [(5, 10)]]


@pytest.mark.parametrize("before", [True, False])
def test_a_campaign_begins_in_an_empty_folder_or_one_that_is_not_there(campaign, tmp_path, before):
    folder = tmp_path / "deep" / "down"
    if before:
        folder.mkdir(parents=True)
    assert opened(folder, campaign()).folder == folder
    assert (folder / "campaign.json").is_file() or any(folder.iterdir())


# ------------------------------------------------------------------------------ rare odds


@dataclass(frozen=True)
class Packed:
    """Marks of packed flights."""

    marks: np.ndarray


def test_failures_are_drawn_at_the_middle_of_what_they_and_their_absence_take(monkeypatch):
    flown = []

    def fly_many(_packed, number, count, shares):
        flown.append((number, shares[0].tolist()))
        return SimpleNamespace(results=[np.full(len(RESULTS), float(number))])

    monkeypatch.setattr(rare, "fly_many", fly_many)
    monkeypatch.setattr(rare, "_failure_draws", lambda _campaign: np.array([1]))
    monkeypatch.setattr(rare, "_failure_odds", lambda _campaign: np.array([0.2]))
    marks = np.full(rare.slots.DRAWN_HERE + 1, 7)
    campaign = SimpleNamespace(packed=Packed(marks=marks))
    patterns, ends = np.array([[True], [False]]), np.array([0.5, 1.0])
    stratum = rare._Stratum(odds=1.0, patterns=patterns, ends=ends)
    feared = SimpleNamespace(
        spare_s=lambda _packed, number, _shares: -number,
        far=lambda flights, spare_s: np.stack([flights.results["ended"], spare_s]),
    )
    with ThreadPoolExecutor(1) as pool:
        judge = rare._judge(campaign, stratum, feared, pool)
        # The last number says which pattern: below a half the canopy fails.
        points = np.array([[0.0, 0.0, -1.0], [0.0, 0.0, 1.0]])
        far = judge(points, np.array([3, 4]))
    assert [one for _, one in flown] == [[0.5, pytest.approx(0.1)], [0.5, pytest.approx(0.6)]]
    assert [number - rare._FIRST_NUMBER for number, _ in flown] == [3, 4]
    assert far.tolist() == [[number for number, _ in flown], [-number for number, _ in flown]]
    assert marks[rare.slots.DRAWN_HERE] == 7


def test_strata_are_that_nothing_fails_and_that_something_does(monkeypatch):
    monkeypatch.setattr(rare, "_failure_odds", lambda _campaign: np.array([0.1, 0.2]))
    sound, failing = rare._strata(None, Asked.OVER_CEILING)
    assert (sound.odds, failing.odds) == pytest.approx((0.72, 0.28))
    assert sound.patterns.tolist() == [[False, False]]
    assert failing.patterns.tolist() == [[False, True], [True, False], [True, True]]
    assert failing.ends == pytest.approx(np.cumsum([0.18, 0.08, 0.02]) / 0.28)
    monkeypatch.setattr(rare, "_failure_odds", lambda _campaign: np.array([]))
    (alone,) = rare._strata(None, Asked.OVER_CEILING)
    assert (alone.odds, alone.patterns.shape) == (1.0, (1, 0))


# ---------------------------------------------------------------------------- sensitivity


def test_what_a_sample_adds_is_the_scatter_of_each_number_s_part_of_the_whole():
    """Each flight's own part of a share, added up by loops: alone, half of a pair, and what moves with it."""
    rng = np.random.default_rng(5)
    told = rng.normal(size=(40, 3))
    left = rng.normal(size=40)
    members = np.array([[True, False, True], [False, True, True]])
    shares = np.array([0.3, 0.5])
    apart = [sum(row**2) + rest**2 for row, rest in zip(told, left, strict=True)]
    rows = []
    for (first, second, both), own in zip(told, apart, strict=True):
        moved = [2 * first * both, 2 * second * both]
        each = [first**2 + both**2 / 2 + moved[0], second**2 + both**2 / 2 + moved[1]]
        whole = own + sum(moved)
        rows.append([(part - share * whole) for part, share in zip(each, shares, strict=True)])
    expected = np.var(np.array(rows) / np.mean(apart), axis=0)
    assert sensitivity._of_the_sample(told, members, left, shares) == pytest.approx(expected)
    none = np.zeros((2, 3), dtype=bool)
    assert sensitivity._of_the_sample(told, none, left, shares).tolist() == [0.0, 0.0]
