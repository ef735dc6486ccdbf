"""A campaign's folder: whole files or none, resumed bitwise, never mixed."""

import errno
import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from finial.campaign.campaign import fly_range
from finial.campaign.processes import Processes
from finial.campaign.run import Threads, kept_flights, run_campaign
from finial.campaign.store import covered, missing_ranges, opened
from finial.core.errors import CampaignError, OutsideRange
from finial.files import write

HERE = Path(__file__).parent
_SCRIPT = """
import sys
from pathlib import Path
sys.path.insert(0, {here!r})
from conftest import small_campaign
from finial.campaign.run import Threads, run_campaign
run_campaign(small_campaign(flights=int(sys.argv[2])), Path(sys.argv[1]), Threads(1), chunk=int(sys.argv[3]))
"""


def _rows(folder):
    import pyarrow.parquet as parquet

    tables = [parquet.read_table(path) for path in sorted(folder.glob("flights-*.parquet"))]
    return np.vstack([np.column_stack([column.to_numpy() for column in table.columns]) for table in tables])


def _same(one, other):
    return np.array_equal(_rows(one), _rows(other), equal_nan=True)


def test_folder_holds_every_flight_once(campaign, tmp_path):
    told = []
    run_campaign(campaign(), tmp_path / "c", Threads(2), chunk=16, told=told.append)
    rows = _rows(tmp_path / "c")
    assert rows[:, 0].tolist() == list(range(60))
    assert told == [16, 16, 16, 12]
    assert kept_flights(tmp_path / "c", 60) == 60
    straight = fly_range(campaign(), 0, 60)
    assert np.array_equal(rows[:, 1:], np.hstack([straight.results, straight.drawn]), equal_nan=True)


@pytest.mark.parametrize("design", ["plain", "latin", "sobol"])
def test_chunks_and_threads_change_no_bit(campaign, tmp_path, design):
    run_campaign(campaign(design=design), tmp_path / "a", Threads(1), chunk=60)
    run_campaign(campaign(design=design), tmp_path / "b", Threads(3), chunk=7)
    assert _same(tmp_path / "a", tmp_path / "b")


def test_missing_files_are_the_work_list(campaign, tmp_path):
    store = run_campaign(campaign(), tmp_path / "a", Threads(1), chunk=10)
    (tmp_path / "a" / "flights-000000020-000000029.parquet").unlink()
    (tmp_path / "a" / "flights-000000050-000000059.parquet").unlink()
    assert missing_ranges(store, 6) == [(20, 26), (26, 30), (50, 56), (56, 60)]
    run_campaign(campaign(), tmp_path / "a", Threads(1), chunk=6)
    run_campaign(campaign(), tmp_path / "b", Threads(1), chunk=60)
    assert _same(tmp_path / "a", tmp_path / "b")


def test_a_plain_campaign_may_grow(campaign, tmp_path):
    run_campaign(campaign(flights=20), tmp_path / "a", Threads(1))
    run_campaign(campaign(flights=60), tmp_path / "a", Threads(1))
    run_campaign(campaign(flights=60), tmp_path / "b", Threads(1))
    assert _same(tmp_path / "a", tmp_path / "b")


def _kill_at_random(folder, flights, times, seed):
    """Start the campaign in a process of its own and kill it after a random time, then let it end."""
    chance = random.Random(seed)
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    killed = 0
    for attempt in range(times + 1):
        chunk = str(chance.choice((5, 9, 20)))
        arguments = [sys.executable, "-c", _SCRIPT.format(here=str(HERE)), str(folder), str(flights), chunk]
        process = subprocess.Popen(arguments, env=environment)
        if attempt == times:
            assert process.wait(timeout=120) == 0
            return killed
        before = kept_flights(folder, flights)
        while process.poll() is None and kept_flights(folder, flights) <= before:
            time.sleep(0.01)
        time.sleep(chance.uniform(0.0, 0.05))
        if process.poll() is None:
            process.send_signal(signal.SIGKILL)
            killed += 1
        process.wait()
    return killed


def test_killed_again_and_again_it_ends_with_the_same_bits(campaign, tmp_path):
    """The small form of ``bench/campaign.py --soak``: 10,000 flights killed twenty times."""
    killed = _kill_at_random(tmp_path / "killed", 300, 2, seed=4)
    assert killed >= 1
    run_campaign(campaign(flights=300), tmp_path / "straight", Threads(1))
    assert _same(tmp_path / "killed", tmp_path / "straight")


def test_processes_give_the_same_bits_even_when_one_dies(campaign, tmp_path, monkeypatch):
    killed = []

    def kill_one(_count):
        if not killed:
            import multiprocessing

            victim = multiprocessing.active_children()[0]
            killed.append(victim.pid)
            victim.kill()

    run_campaign(campaign(flights=200), tmp_path / "a", Processes(2), chunk=10, told=kill_one)
    run_campaign(campaign(flights=200), tmp_path / "b", Threads(1))
    assert killed
    assert _same(tmp_path / "a", tmp_path / "b")


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ({"seed": 4}, "design plain with seed 3"),
        ({"design": "sobol"}, "design plain with seed 3"),
        ({"tumbling_drag_area_m2": 0.07}, "vehicle, day or spread"),
    ],
)
def test_another_campaign_is_never_mixed_in(campaign, tmp_path, other, words):
    run_campaign(campaign(flights=10), tmp_path, Threads(1))
    with pytest.raises(CampaignError, match=words):
        run_campaign(campaign(flights=20, **other), tmp_path, Threads(1))
    assert kept_flights(tmp_path, 20) == 10


def test_a_latin_hypercube_cannot_grow(campaign, tmp_path):
    run_campaign(campaign(flights=10, design="latin"), tmp_path, Threads(1))
    with pytest.raises(CampaignError, match="cannot grow"):
        run_campaign(campaign(flights=20, design="latin"), tmp_path, Threads(1))


def test_another_version_of_the_code_is_refused(campaign, tmp_path, monkeypatch):
    run_campaign(campaign(flights=10), tmp_path, Threads(1))
    manifest = tmp_path / "manifest.json"
    values = json.loads(manifest.read_text())
    manifest.write_text(json.dumps({**values, "code": "0" * 16}))
    with pytest.raises(CampaignError, match="another version"):
        opened(tmp_path, campaign(flights=10))


@pytest.mark.parametrize("content", ["{", "[]", '{"seed": 1}'])
def test_a_damaged_manifest_is_said_so(campaign, tmp_path, content):
    (tmp_path / "manifest.json").write_text(content)
    with pytest.raises(CampaignError, match="name another folder"):
        opened(tmp_path, campaign())


def test_a_damaged_case_is_said_so(campaign, tmp_path):
    run_campaign(campaign(flights=10), tmp_path, Threads(1))
    (tmp_path / "case.npz").write_bytes(b"no")
    with pytest.raises(CampaignError, match="missing or damaged"):
        opened(tmp_path, campaign(flights=10))


def test_two_runs_in_one_folder_are_noticed(campaign, tmp_path):
    run_campaign(campaign(flights=20), tmp_path, Threads(1), chunk=10)
    file = tmp_path / "flights-000000000-000000009.parquet"
    file.rename(tmp_path / "flights-000000005-000000014.parquet")
    with pytest.raises(CampaignError, match="two files hold flight 10"):
        covered(tmp_path)


def test_flights_without_a_manifest_are_left_alone(campaign, tmp_path):
    (tmp_path / "flights-000000000-000000009.parquet").write_bytes(b"")
    with pytest.raises(CampaignError, match="no manifest"):
        opened(tmp_path, campaign())


def test_a_full_disk_loses_nothing(campaign, tmp_path, monkeypatch):
    kept = []
    real = os.fsync

    def full_after_two(handle):
        if len(kept) >= 4:
            raise OSError(errno.ENOSPC, "No space left on device")
        kept.append(handle)
        real(handle)

    monkeypatch.setattr(write.os, "fsync", full_after_two)
    with pytest.raises(CampaignError, match="the disk is full"):
        run_campaign(campaign(), tmp_path / "a", Threads(1), chunk=10)
    monkeypatch.setattr(write.os, "fsync", real)
    assert kept_flights(tmp_path / "a", 60) == 20
    assert not list((tmp_path / "a").glob("*.tmp"))
    run_campaign(campaign(), tmp_path / "a", Threads(1), chunk=10)
    run_campaign(campaign(), tmp_path / "b", Threads(1), chunk=10)
    assert _same(tmp_path / "a", tmp_path / "b")


def test_a_folder_that_cannot_be_made_is_said_so(campaign, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(CampaignError, match="cannot be made"):
        opened(tmp_path / "file" / "below", campaign())


@pytest.mark.parametrize("changes", [{"flights": 0}, {"seed": -1}, {"design": "grid"}])
def test_campaigns_that_cannot_be_are_refused(campaign, changes):
    with pytest.raises(OutsideRange):
        campaign(**changes)
