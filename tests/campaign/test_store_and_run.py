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
from finial.campaign.chunks import covered
from finial.campaign.flown import read_flown
from finial.campaign.processes import Processes
from finial.campaign.run import Threads, kept_flights, run_campaign
from finial.campaign.store import manifest_sum, missing_ranges, opened
from finial.core.errors import CampaignError, OutsideRange
from finial.files import write
from finial.files.alone import sole_run

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


def _file(folder, first):
    return next(folder.glob(f"flights-{first:09d}-*.parquet"))


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
    _file(tmp_path / "a", 20).unlink()
    _file(tmp_path / "a", 50).unlink()
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


def test_what_a_kill_left_half_written_is_taken_away(campaign, tmp_path):
    half = [".flights-000000000-000000009-0123456789abcdef.parquet-a1b2.tmp", ".manifest.json-c3.tmp"]
    for name in (*half, ".case.npz-d4.tmp", ".mine.csv-e5.tmp"):
        (tmp_path / name).write_bytes(b"PAR1")
    with sole_run(tmp_path), pytest.raises(CampaignError, match="another run"):
        run_campaign(campaign(flights=10), tmp_path, Threads(1))
    assert len(list(tmp_path.glob(".*.tmp"))) == 4
    run_campaign(campaign(flights=10), tmp_path, Threads(1))
    assert [path.name for path in tmp_path.glob(".*.tmp")] == [".mine.csv-e5.tmp"]


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
    other = {**values, "code": "0" * 16}
    manifest.write_text(json.dumps({**other, "sum": manifest_sum(other)}))
    with pytest.raises(CampaignError, match="another version"):
        opened(tmp_path, campaign(flights=10))


@pytest.mark.parametrize("content", ["{", "[]", '{"seed": 1}'])
def test_a_damaged_manifest_is_said_so(campaign, tmp_path, content):
    (tmp_path / "manifest.json").write_text(content)
    with pytest.raises(CampaignError, match="name another folder"):
        opened(tmp_path, campaign())


@pytest.mark.parametrize(
    "damage", [lambda raw: b"", lambda raw: raw[:-9], lambda raw: raw.replace(b'"seed": 3', b'"seed": 4')]
)
def test_a_damaged_manifest_is_named_set_aside_and_made_anew_by_what_was_flown(
    campaign, tmp_path, caplog, damage
):
    run_campaign(campaign(flights=20), tmp_path, Threads(1), chunk=10)
    manifest = tmp_path / "manifest.json"
    whole = manifest.read_bytes()
    manifest.write_bytes(damage(whole))
    with pytest.raises(CampaignError, match="name another folder"):
        opened(tmp_path, campaign(flights=20, seed=4))
    told = []
    run_campaign(campaign(flights=20), tmp_path, Threads(1), told=told.append)
    assert told == []
    assert "manifest.json was damaged: set aside" in caplog.text
    assert (tmp_path / "manifest.json.damaged").read_bytes() == damage(whole)
    assert manifest.read_bytes() == whole
    assert read_flown(tmp_path).count == 20


def test_a_damaged_manifest_stays_where_a_flight_is_not_this_campaigns(campaign, tmp_path):
    run_campaign(campaign(flights=20), tmp_path / "a", Threads(1), chunk=10)
    run_campaign(campaign(flights=20, seed=4), tmp_path / "b", Threads(1), chunk=10)
    _file(tmp_path / "a", 10).unlink()
    stranger = _file(tmp_path / "b", 10)
    (tmp_path / "a" / stranger.name).write_bytes(stranger.read_bytes())
    (tmp_path / "a" / "manifest.json").write_bytes(b"")
    with pytest.raises(CampaignError, match="cannot be read"):
        opened(tmp_path / "a", campaign(flights=20))
    assert (tmp_path / "a" / "manifest.json").read_bytes() == b""


def test_a_folder_that_no_flight_ever_came_to_is_taken_over(campaign, tmp_path):
    opened(tmp_path, campaign(seed=4))
    run_campaign(campaign(flights=10), tmp_path, Threads(1))
    assert read_flown(tmp_path).seed == campaign().seed


@pytest.mark.parametrize(
    "damage", [lambda raw: b"no", lambda raw: raw[:-300], lambda raw: raw[:400] + b"x" * 60 + raw[460:]]
)
def test_a_damaged_case_is_named_and_made_anew_from_the_same_numbers(campaign, tmp_path, caplog, damage):
    run_campaign(campaign(flights=10), tmp_path, Threads(1))
    case = tmp_path / "case.npz"
    whole = case.read_bytes()
    case.write_bytes(damage(whole))
    with pytest.raises(CampaignError, match="missing or damaged"):
        opened(tmp_path, campaign(flights=10, seed=9))
    assert opened(tmp_path, campaign(flights=10)).campaign.flights == 10
    assert "set aside" in caplog.text
    assert (tmp_path / "case.npz.damaged").read_bytes() == damage(whole)
    assert opened(tmp_path, campaign(flights=10)).campaign.flights == 10


def test_two_runs_in_one_folder_are_noticed(campaign, tmp_path):
    run_campaign(campaign(flights=20), tmp_path, Threads(1), chunk=10)
    file = _file(tmp_path, 0)
    file.rename(tmp_path / file.name.replace("000000000-000000009", "000000005-000000014"))
    with pytest.raises(CampaignError, match="two files hold flight 10"):
        covered(tmp_path)


def test_flights_without_a_manifest_are_left_alone(campaign, tmp_path):
    (tmp_path / f"flights-000000000-000000009-{'0' * 16}.parquet").write_bytes(b"")
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


def test_a_manifest_of_other_numbers_than_it_was_written_with_is_damaged(campaign, tmp_path):
    run_campaign(campaign(flights=10), tmp_path, Threads(1))
    manifest = tmp_path / "manifest.json"
    manifest.write_text(manifest.read_text().replace('"flights": 10', '"flights": 90'))
    with pytest.raises(CampaignError, match=r"damaged .its checksum does not hold"):
        read_flown(tmp_path)


@pytest.mark.parametrize("at", [0.2, 0.5, 0.97])
def test_one_bit_flipped_in_a_file_is_seen_set_aside_and_flown_again(campaign, tmp_path, at):
    run_campaign(campaign(), tmp_path / "a", Threads(1), chunk=20)
    file = _file(tmp_path / "a", 20)
    content = bytearray(file.read_bytes())
    content[int(at * len(content))] ^= 4
    file.write_bytes(content)
    with pytest.raises(CampaignError, match=rf"{file.name} not as written"):
        read_flown(tmp_path / "a")
    told = []
    run_campaign(campaign(), tmp_path / "a", Threads(1), chunk=20, told=told.append)
    assert told == [20]
    assert (tmp_path / "a" / f"{file.name}.damaged").exists()
    run_campaign(campaign(), tmp_path / "b", Threads(1))
    assert _same(tmp_path / "a", tmp_path / "b")


def test_a_second_run_in_the_same_folder_is_refused_while_the_first_flies(campaign, tmp_path):
    def second(_count):
        with pytest.raises(CampaignError, match=rf"another run writes to .*process {os.getpid()}"):
            run_campaign(campaign(), tmp_path, Threads(1))

    run_campaign(campaign(flights=20), tmp_path, Threads(1), chunk=10, told=second)
    assert kept_flights(tmp_path, 20) == 20
    run_campaign(campaign(), tmp_path, Threads(1))


def test_the_lock_is_never_a_way_out_of_the_folder(campaign, tmp_path):
    outside = tmp_path / "outside"
    outside.write_text("keep me")
    (tmp_path / "c").mkdir()
    (tmp_path / "c" / ".running").symlink_to(outside)
    with pytest.raises(CampaignError, match="cannot be made or written to"):
        run_campaign(campaign(), tmp_path / "c", Threads(1))
    assert outside.read_text() == "keep me"


_WITH_PROCESSES = """
import signal, sys
from pathlib import Path
# Whoever starts the tests in the background hands down an interrupt that is ignored.
signal.signal(signal.SIGINT, signal.default_int_handler)
sys.path.insert(0, {here!r})
from conftest import small_campaign
from finial.campaign.processes import Processes
from finial.campaign.run import run_campaign
if __name__ == "__main__":
    try:
        run_campaign(small_campaign(flights=1000000), Path({folder!r}), Processes(2), chunk={chunk})
    except KeyboardInterrupt:
        sys.exit(130)
"""


def _children(of):
    return [int(one) for one in Path(f"/proc/{of}/task/{of}/children").read_text().split()]


def _with_processes(folder, chunk, started=3):
    """Start a campaign with two processes in a session of its own; give it and what it started.

    One process of them keeps count of shared memory, and one range alone keeps a single worker busy.
    """
    script = folder / "fly.py"
    script.write_text(_WITH_PROCESSES.format(here=str(HERE), folder=str(folder / "c"), chunk=chunk))
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    process = subprocess.Popen(
        [sys.executable, str(script)],
        env=environment,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    until = time.monotonic() + 120.0
    while len(_children(process.pid)) < started and time.monotonic() < until:
        time.sleep(0.02)
    return process, _children(process.pid)


def _assert_all_end(workers, folder):
    assert len(workers) >= 2
    until = time.monotonic() + 20.0
    while any(_lives(one) for one in workers) and time.monotonic() < until:
        time.sleep(0.05)
    assert not [one for one in workers if _lives(one)]
    # The lock went with its holder.
    with sole_run(folder / "c"):
        pass


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="asks the system who is alive")
def test_workers_end_when_their_parent_is_killed(tmp_path):
    process, workers = _with_processes(tmp_path, chunk=10)
    _wait_for_flights(tmp_path / "c")
    process.kill()
    process.communicate()
    _assert_all_end(workers, tmp_path)


@pytest.mark.parametrize("when", ["starting", "flying", "in one long range"])
@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="asks the system who is alive")
def test_an_interrupt_of_the_whole_terminal_ends_clean_and_leaves_nobody(tmp_path, when):
    one_range = {"chunk": 1_000_000, "started": 2}
    process, workers = _with_processes(tmp_path, **(one_range if "long" in when else {"chunk": 10}))
    if when == "flying":
        _wait_for_flights(tmp_path / "c")
    elif when == "in one long range":
        time.sleep(5.0)
    os.killpg(process.pid, signal.SIGINT)
    try:
        _, said = process.communicate(timeout=60)
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
    assert (process.returncode, said) == (130, "")
    _assert_all_end(workers, tmp_path)


def _wait_for_flights(folder):
    until = time.monotonic() + 120.0
    while not list(folder.glob("flights-*")) and time.monotonic() < until:
        time.sleep(0.05)


def _lives(process):
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False
