"""Cards that are used, memory that is asked for before a run starts, and the speed of a trial; on paper."""

import io
import os
from types import SimpleNamespace

import numpy as np
import pytest

from finial.core.errors import CampaignError, MissingData
from finial.tunnel_study import machines


@pytest.fixture
def three_cards(monkeypatch):
    """Three cards, with 8 GB free on each but the last."""
    monkeypatch.setattr(machines.known_cards, "card_count", lambda: 3)
    monkeypatch.setattr(machines.known_cards, "free_bytes", lambda card: 8e9 if card < 2 else 1e9)


@pytest.mark.parametrize(
    ("asked", "every", "cards"),
    [((), False, machines.PROCESSOR), ((), True, (0, 1, 2)), ((2, 0), False, (2, 0)), ((1,), True, (1,))],
)
def test_cards_are_those_that_were_asked_for_or_all(three_cards, asked, every, cards):
    told = []
    assert machines.cards_to_use(asked, every=every, tell=told.append) == cards
    assert told == []


def test_a_card_that_is_not_there_is_refused_by_its_number(three_cards):
    with pytest.raises(CampaignError, match="card 3: there are 3"):
        machines.cards_to_use((1, 3), every=False, tell=print)


def test_without_any_card_the_processor_blows_and_says_so(monkeypatch):
    def none():
        raise MissingData("no card")

    told = []
    monkeypatch.setattr(machines.known_cards, "card_count", none)
    assert machines.cards_to_use((), every=True, tell=told.append) == machines.PROCESSOR
    assert told == ["no card: blowing on the processor instead"]


def run(cells):
    return SimpleNamespace(fineness=SimpleNamespace(cells=cells))


@pytest.mark.parametrize(
    ("free", "needed", "fits"), [(8e9, 8e9, True), (8e9, 8.1e9, False), (None, 9e12, True)]
)
def test_runs_that_no_memory_holds_are_refused_before_any_starts(monkeypatch, free, needed, fits):
    asked = []
    monkeypatch.setattr(machines, "free_memory", lambda card: asked.append(card) or free)
    monkeypatch.setattr(
        machines, "cost_of", lambda runs: SimpleNamespace(memory_bytes=needed if len(runs) == 2 else 0.0)
    )
    runs = (run(20.0), run(30.0))
    if fits:
        machines.refuse_too_large(iter(runs), (None, 1))
        assert asked == [None, 1]
    else:
        with pytest.raises(CampaignError, match=r"card 1 has 8\.0 GB free"):
            machines.refuse_too_large(runs, (1,))
        with pytest.raises(CampaignError, match="this machine has"):
            machines.refuse_too_large(runs, (None,))


def test_what_fits_goes_by_the_cube_root_of_the_memory(monkeypatch):
    monkeypatch.setattr(machines, "free_memory", lambda card: 1e9)
    monkeypatch.setattr(machines, "cost_of", lambda runs: SimpleNamespace(memory_bytes=8e9))
    with pytest.raises(CampaignError, match=r"8\.0 GB .* 1\.0 GB free: about 15 cells .* instead of 30"):
        machines.refuse_too_large((run(20.0), run(30.0)), (None,))


def test_memory_is_what_is_free_or_could_be_at_once(monkeypatch, three_cards):
    assert machines.free_memory(2) == 1e9
    pages = {"SC_AVPHYS_PAGES": 1000, "SC_PAGE_SIZE": 4096}
    monkeypatch.setattr(os, "sysconf", pages.__getitem__, raising=False)
    monkeypatch.setattr(os, "sysconf_names", dict.fromkeys(pages, 1), raising=False)
    monkeypatch.setattr(machines, "_available", lambda: 5e6)
    assert machines.free_memory(None) == 5e6
    monkeypatch.setattr(machines, "_available", lambda: 1e6)
    assert machines.free_memory(None) == 4096e3
    monkeypatch.setattr(os, "sysconf_names", {"SC_PAGE_SIZE": 1}, raising=False)
    assert machines.free_memory(None) is None
    monkeypatch.delattr(os, "sysconf", raising=False)
    assert machines.free_memory(None) is None


@pytest.mark.parametrize(
    ("told", "available"),
    [
        ("MemTotal: 99 kB\nMemAvailable:   2000 kB\n", 2_048_000.0),
        ("MemTotal: 99 kB\n", 0.0),
        ("MemAvailable: many kB\n", 0.0),
        ("MemAvailable:\n", 0.0),
    ],
)
def test_what_the_system_could_free_is_read_in_kilobytes(monkeypatch, told, available):
    monkeypatch.setattr("builtins.open", lambda *_, **__: io.StringIO(told))
    found = machines._available()
    monkeypatch.undo()
    assert found == available


@pytest.mark.parametrize(("card", "cells"), [(None, 8.0), (1, 24.0)])
def test_speed_is_counted_in_the_second_of_two_trials(monkeypatch, card, cells):
    clock = iter([0.0, 100.0, 200.0, 204.0])
    monkeypatch.setattr(machines.time, "monotonic", lambda: next(clock))
    asked = []

    def blow(shape, stream, fineness, **given):
        asked.append((fineness.cells, given["card"], given["area_m2"], given["width_m"]))
        return SimpleNamespace(updates=2e6 * len(asked))

    assert machines.measured_speed(blow, card) == pytest.approx(4e6 / 4.0)
    # The width of a circle as large as the cube's face of 100 mm.
    expected = (cells, card, pytest.approx(0.01), pytest.approx(2 * np.sqrt(0.01 / np.pi)))
    assert asked == [expected, expected]


def test_a_cube_is_closed_and_turned_outward():
    shape = machines.cube(0.2)
    a, b, c = (shape.points_m[shape.triangles[:, corner]] for corner in range(3))
    # Six times the volume by its triangles, from the origin.
    assert abs(float(np.einsum("ij,ij->", a, np.cross(b, c)))) / 6 == pytest.approx(0.008)
    assert shape.points_m.min(axis=0).tolist() == [0.0, -0.1, -0.1]
    edges = np.sort(shape.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    assert np.unique(edges, axis=0, return_counts=True)[1].tolist() == [2] * 18
