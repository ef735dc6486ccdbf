"""A loopback cluster: the same bits, also when a worker is killed in the middle."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from finial.campaign.cluster import Cluster, Helpers
from finial.campaign.run import Threads, kept_flights, run_campaign
from finial.core.errors import CampaignError

HERE = Path(__file__).parent
_READY_S = 60.0


def _environment():
    paths = os.pathsep.join(filter(None, [*sys.path, str(HERE)]))
    return {**os.environ, "PYTHONPATH": paths, "DASK_DISTRIBUTED__WORKER__DAEMON": "False"}


def _started(arguments, port_file=None):
    return subprocess.Popen(
        [sys.executable, "-m", *arguments],
        env=_environment(),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


@pytest.fixture
def cluster(tmp_path):
    """Address of a scheduler with two workers, and the workers' processes."""
    file = tmp_path / "scheduler.json"
    local = ["--host", "127.0.0.1", "--no-dashboard"]
    scheduler = _started(
        ["distributed.cli.dask_scheduler", *local, "--port", "0", "--scheduler-file", str(file)]
    )
    processes = [scheduler]
    until = time.monotonic() + _READY_S
    while not file.exists() and time.monotonic() < until:
        time.sleep(0.05)
    worker = ["distributed.cli.dask_worker", "--scheduler-file", str(file), "--nthreads", "1", "--no-nanny"]
    folder = ["--local-directory", str(tmp_path), "--no-dashboard", "--host", "127.0.0.1"]
    workers = [_started([*worker, *folder]) for _ in range(2)]
    processes += workers
    import json

    address = json.loads(file.read_text())["address"]
    from distributed import Client

    with Client(address, timeout=_READY_S, set_as_default=False) as client:
        client.wait_for_workers(2, timeout=_READY_S)
    yield address, workers
    for process in processes:
        process.kill()
        process.wait()


def _rows(folder):
    import pyarrow.parquet as parquet

    tables = [parquet.read_table(path) for path in sorted(folder.glob("flights-*.parquet"))]
    return np.vstack([np.column_stack([column.to_numpy() for column in table.columns]) for table in tables])


@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")
def test_a_worker_killed_in_the_middle_loses_and_doubles_nothing(campaign, tmp_path, cluster):
    address, workers = cluster
    killed = []

    def kill_one(_count):
        if not killed:
            workers[0].send_signal(signal.SIGKILL)
            killed.append(workers[0].wait())

    run_campaign(campaign(flights=400), tmp_path / "a", Cluster(address), chunk=20, told=kill_one)
    run_campaign(campaign(flights=400), tmp_path / "b", Threads(1))
    assert killed == [-signal.SIGKILL]
    assert kept_flights(tmp_path / "a", 400) == 400
    assert np.array_equal(_rows(tmp_path / "a"), _rows(tmp_path / "b"), equal_nan=True)


@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")
def test_a_scheduler_that_does_not_answer_is_said_so(campaign, tmp_path):
    with pytest.raises(CampaignError, match="no scheduler answers at tcp:"):
        run_campaign(campaign(), tmp_path / "a", Cluster("tcp://127.0.0.1:9", answer_s=1.0))
    assert kept_flights(tmp_path / "a", 60) == 0


def test_an_address_that_is_none_is_said_so(campaign, tmp_path):
    with pytest.raises(CampaignError, match="no scheduler answers at"):
        run_campaign(campaign(), tmp_path / "a", Cluster("127001", answer_s=1.0))


@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")
def test_workers_answer_anything_in_order(cluster):
    address, _ = cluster
    helpers = Helpers(address, divmod, 17)
    assert helpers.answers([5, 4, 3]) == [(3, 2), (4, 1), (5, 2)]
    helpers.close()
