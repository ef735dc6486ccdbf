"""``finial campaign``: who flies, how many, into which folder, and what is kept; a dozen real flights."""

import json
import os
import shutil
from dataclasses import replace
from types import SimpleNamespace

import pytest

from finial.campaign.cards import CHUNK as OF_CARDS
from finial.campaign.cluster import Cluster
from finial.campaign.processes import Processes
from finial.campaign.run import CHUNK, Threads, run_campaign
from finial.core.errors import MissingData, OutsideRange
from finial.findings.finding import Verdict

from .conftest import BUOY


@pytest.fixture
def sheet(tmp_path):
    """A copy of the sheet, to leave flights beside."""
    return shutil.copytree(BUOY.parent, tmp_path / "buoy") / BUOY.name


def _told(name, _answer, checked=None):
    return json.dumps({"name": name, "verdict": checked and checked.verdict.words})


@pytest.fixture
def flown(monkeypatch, buoy):
    """The loaded example; workers are noted and threads fly in their place; the check says no-go at once."""
    noted = SimpleNamespace(workers=None, chunk=None, many=[], rare=[])

    def run(campaign, folder, workers, *, chunk, told):
        noted.workers, noted.chunk = workers, chunk
        return run_campaign(campaign, folder, Threads(1), chunk=chunk, told=told)

    def rare(_campaign, _spot, *, threads):
        noted.rare.append(threads)
        return ()

    monkeypatch.setattr("finial.campaign.run.run_campaign", run)
    monkeypatch.setattr("finial.campaign.rare.rare_odds", rare)
    monkeypatch.setattr("finial.findings.check.load", lambda _path, tell: buoy)
    monkeypatch.setattr(
        "finial.findings.kept_check.kept_check",
        lambda _path, depth, _tell: SimpleNamespace(verdict=Verdict.NO_GO, depth=depth),
    )
    monkeypatch.setattr(
        "finial.report.campaign_json.campaign_to_json",
        lambda name, _answer, checked=None: json.dumps(
            {"name": name, "verdict": checked and checked.verdict.words}
        ),
    )
    monkeypatch.setattr("finial.report.text.verdict_lines", lambda _checked, width: ())
    monkeypatch.setattr("finial.flight.many.make_many_ready", lambda _told: noted.many.append(True))
    monkeypatch.setattr("finial.flight.fly.make_ready", lambda _told: noted.many.append(False))
    return noted


def _files(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_flights_lie_beside_the_sheet_and_the_verdict_is_the_check_s(finial, flown, sheet):
    done = finial("campaign", sheet, "--flights", 12, "--chunk", 5, "--json")
    assert done.code == 3
    assert json.loads(done.out) == {"name": "Channel Buoy", "verdict": "no-go"}
    folder = sheet.with_name("buoy-tiers-campaign")
    assert f"flights, pictures and maps are in {folder}" in done.err
    found = _files(folder)
    assert {"answer.json", "landings.svg"} <= found
    assert len([name for name in found if name.startswith("flights-")]) >= 3  # twelve by five
    assert not any(name.startswith("tracks") for name in found)
    assert flown.chunk == 5
    assert flown.many == [True, True]
    assert flown.rare == []


@pytest.mark.parametrize(("flights", "tracks", "kept"), [(4, 2, 2), (3, 9, 3)])
def test_tracks_are_of_the_first_flights_and_never_of_more_than_flew(
    finial, flown, sheet, tmp_path, flights, tracks, kept
):
    folder = tmp_path / "there"
    folder.mkdir()
    done = finial("campaign", sheet, "--flights", flights, "--folder", folder, "--tracks", tracks, "--quiet")
    assert (done.code, done.err) == (3, "")
    assert "Odds" in done.out
    assert {name for name in _files(folder) if name.startswith("tracks/")} == {
        f"tracks/flight-{number:09d}.csv" for number in range(kept)
    }
    assert "tracks.svg" in _files(folder)
    assert not sheet.with_name("buoy-tiers-campaign").exists()


@pytest.mark.parametrize(
    ("words", "kind", "about"),
    [
        ((), Threads, ("count", os.cpu_count() or 1)),
        (("--threads", "3"), Threads, ("count", 3)),
        (("--processes", "2"), Processes, ("count", 2)),
        (("--cluster", "tcp://127.0.0.1:9"), Cluster, ("address", "tcp://127.0.0.1:9")),
    ],
)
def test_those_who_were_asked_for_fly(finial, flown, sheet, words, kind, about):
    assert finial("campaign", sheet, "--flights", 2, *words).code == 3
    assert type(flown.workers) is kind
    name, value = about
    assert getattr(flown.workers, name) == value
    assert flown.chunk == CHUNK


def test_cards_fly_where_there_are_cards_in_their_own_chunks(finial, flown, sheet, monkeypatch):
    cards = SimpleNamespace(count=2, name="cards")
    monkeypatch.setattr(
        "finial.campaign.cards.on_cards", lambda campaign: (replace(campaign, rounding="a card"), cards)
    )
    done = finial("campaign", sheet, "--flights", 2, "--gpu")
    assert done.code == 3
    assert "2 x a card; the first time on this machine the flight is compiled for it" in done.err
    assert (flown.workers, flown.chunk) == (cards, OF_CARDS)
    assert flown.many == [False]  # the cards compile the flight for many themselves


@pytest.mark.parametrize("why", [MissingData("no graphics card"), OutsideRange("too many rows for a card")])
def test_where_no_card_can_fly_it_threads_do_and_it_is_said(finial, flown, sheet, monkeypatch, why):
    def none(_campaign):
        raise why

    monkeypatch.setattr("finial.campaign.cards.on_cards", none)
    done = finial("campaign", sheet, "--flights", 2, "--gpu", "--threads", 1)
    assert done.code == 3
    assert f"{why}: flying on the processor instead" in done.err
    assert (type(flown.workers), flown.workers.count, flown.chunk) == (Threads, 1, CHUNK)


@pytest.mark.parametrize(("words", "threads"), [((), os.cpu_count() or 1), (("--threads", "3"), 3)])
def test_rare_odds_are_led_to_only_when_asked(finial, flown, sheet, words, threads):
    done = finial("campaign", sheet, "--flights", 2, "--rare", *words)
    assert flown.rare == [threads]
    assert "leading flights towards what is feared" in done.err


@pytest.mark.parametrize(
    "words",
    [
        ("--cluster", "tcp://127.0.0.1:9", "--processes", "2"),
        ("--gpu", "--processes", "2"),
        ("--gpu", "--cluster", "tcp://127.0.0.1:9"),
    ],
)
def test_two_who_fly_are_refused_before_anything_is_read(finial, flown, sheet, words):
    done = finial("campaign", sheet, *words)
    assert done.code == 2
    assert "give one of them" in done.err
    assert flown.many == []
