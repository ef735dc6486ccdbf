"""The search on a loopback cluster: what it notes here, it notes there, stopped or not."""

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from finial.campaign import cluster as on_cluster
from finial.campaign.cluster import Helpers
from finial.cli.main import finial
from finial.core.errors import CampaignError

SHEET = Path(__file__).parents[2] / "examples" / "buoy-tiers" / "buoy-tiers.toml"
BALLAST = "ballast:{}:0.2 kg:1 kg"
# dask leaves sockets of closed clients to the garbage collector.
pytestmark = pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")


@pytest.fixture(scope="module")
def vary():
    from finial.files.sheet import read_sheet

    item = min(read_sheet(SHEET).sheet.item, key=lambda one: one.station.value).name
    return ["--vary", BALLAST.format(item), "--generations", "1", "--json", "--quiet"]


def _arguments(vary, folder, *more):
    return ["size", "search", str(SHEET), *vary, "--folder", str(folder), *more]


def _searched(capsys, *given):
    finial.main(_arguments(*given), standalone_mode=False)
    return json.loads(capsys.readouterr().out)


def _notes(folder):
    return (folder / "judged.jsonl").read_text().splitlines()


def _flat(value, place=""):
    """Every number and word of an answer by its place."""
    if isinstance(value, dict):
        return {at: one for key, more in value.items() for at, one in _flat(more, f"{place}.{key}").items()}
    if isinstance(value, list):
        return {
            at: one for key, more in enumerate(value) for at, one in _flat(more, f"{place}[{key}]").items()
        }
    return {} if place == ".check" else {place: value}  # of the very bytes


def _alike(first, second):
    """The same answer, but for sums that two processes add in another order (threads of the BLAS): 1e-4."""
    one, other = _flat(first), _flat(second)
    assert one.keys() == other.keys()
    for place, value in one.items():
        near = pytest.approx(value, rel=1e-4) if isinstance(value, float) else value
        assert other[place] == near, place


def _by_design(folder):
    """Notes without what was measured of them, in the order of their designs."""
    return sorted((json.loads(line) for line in _notes(folder)), key=lambda one: json.dumps(one)[:200])


def test_workers_answer_anything_in_order(lasting_cluster):
    address, _, _ = lasting_cluster
    helpers = Helpers(address, divmod, 17)
    assert list(helpers.answers([5, 4, 3])) == [(3, 2), (4, 1), (5, 2)]
    helpers.close()


def test_a_search_on_a_cluster_killed_in_the_middle_ends_as_one_here(lasting_cluster, vary, tmp_path, capsys):
    address, _, _ = lasting_cluster
    here, there = tmp_path / "here", tmp_path / "there"
    found = _searched(capsys, vary, here)
    killed = subprocess.Popen(
        [sys.executable, "-m", "finial", *_arguments(vary, there, "--cluster", address)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    until = time.monotonic() + 120.0
    while time.monotonic() < until and not ((there / "judged.jsonl").exists() and len(_notes(there)) > 3):
        time.sleep(0.005)
    killed.send_signal(signal.SIGKILL)
    assert killed.wait() == -signal.SIGKILL
    noted = _notes(there)
    assert 3 < len(noted) < len(_notes(here))
    _alike(_searched(capsys, vary, there, "--cluster", address), found)
    assert len(_notes(there)) == len(_notes(here))
    for one, other in zip(_by_design(there), _by_design(here), strict=True):
        _alike(one, other)
    assert _notes(there)[: len(noted) - 1] == noted[:-1]


def test_a_search_without_a_scheduler_says_so_and_loses_nothing(vary, tmp_path, monkeypatch):
    monkeypatch.setattr(on_cluster, "ANSWER_S", 0.5)
    folder = tmp_path / "kept"
    folder.mkdir()
    (folder / "judged.jsonl").write_text("noted before\n")
    with pytest.raises(CampaignError, match=r"no scheduler answers at tcp://127.0.0.1:9 .* Nothing was lost"):
        finial.main(_arguments(vary, folder, "--cluster", "tcp://127.0.0.1:9"), standalone_mode=False)
    assert _notes(folder) == ["noted before"]


def test_a_scheduler_that_dies_in_the_middle_is_said_so(cluster):
    address, _, scheduler = cluster

    def slowly(_shared, seconds):
        time.sleep(seconds)
        return seconds

    helpers = Helpers(address, slowly, None)
    answers = helpers.answers([0.0, 30.0])
    assert next(answers) == 0.0
    scheduler.kill()
    with pytest.raises(CampaignError, match=r"lost its workers or its scheduler .* What was kept stays"):
        next(answers)
    helpers.close()
