"""A small campaign of the invented vehicle, and a cluster on this machine."""

import json
import os
import subprocess
import sys
import time
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.campaign.campaign import planned
from finial.flight.example import example_inputs
from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import BELL, Draw, Spread, canopy_slot, either_way, whole_mass
from finial.flight.uncertain import Drawn, Uncertain

HERE = Path(__file__).parent
_READY_S = 60.0
_LOCAL = ["--host", "127.0.0.1", "--no-dashboard"]


def small_spread():
    inputs = example_inputs()
    draws = (
        either_way(Uncertain(kind=Drawn.IMPULSE), slots.THRUST_FACTOR, 0.05, "share", base=1.0, shape=BELL),
        either_way(Uncertain(kind=Drawn.WIND), slots.WIND_SPEED, 2.0, "m/s", base=4.0, shape=BELL),
        either_way(Uncertain(kind=Drawn.WIND_DIRECTION), slots.WIND_TURN, 0.5, "rad", shape=BELL),
        either_way(Uncertain(kind=Drawn.AXIAL_FORCE), slots.AXIAL_FACTOR, 0.2, "share", base=1.0),
        Draw(
            number=Uncertain(kind=Drawn.STAYS_IN, of="main"),
            slot=canopy_slot(0, 1, "stays_in"),
            shape="odds",
            base=0.0,
            above=0.05,
            unit="odds",
        ),
    )
    return Spread(
        draws=draws,
        masses=whole_mass(inputs),
        wind_speed_m_s=4.0,
        gust_heights_m=np.arange(0.0, 400.0, 20.0),
    )


def small_campaign(flights=60, seed=3, design="plain", **changes):
    inputs = replace(example_inputs(), **changes)
    return planned("small", inputs, small_spread(), flights=flights, seed=seed, design=design)


@pytest.fixture
def campaign():
    return small_campaign


def _started(arguments):
    paths = os.pathsep.join(filter(None, [*sys.path, str(HERE)]))
    return subprocess.Popen(
        [sys.executable, "-m", *arguments],
        env={**os.environ, "PYTHONPATH": paths, "DASK_DISTRIBUTED__WORKER__DAEMON": "False"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def one_more_worker(folder):
    """Start a worker for the cluster of a folder; the list of its workers is where it belongs."""
    to = ["--scheduler-file", str(folder / "scheduler.json"), "--local-directory", str(folder)]
    return _started(["distributed.cli.dask_worker", *to, "--nthreads", "1", "--no-nanny", *_LOCAL])


@contextmanager
def _a_cluster(folder):
    """Give the address of a scheduler with two workers on this machine, their processes and its own."""
    file = folder / "scheduler.json"
    scheduler = _started(
        ["distributed.cli.dask_scheduler", *_LOCAL, "--port", "0", "--scheduler-file", str(file)]
    )
    until = time.monotonic() + _READY_S
    while not file.exists() and time.monotonic() < until:
        time.sleep(0.05)
    workers = [one_more_worker(folder) for _ in range(2)]
    from distributed import Client

    address = json.loads(file.read_text())["address"]
    with Client(address, timeout=_READY_S, set_as_default=False) as client:
        client.wait_for_workers(2, timeout=_READY_S)
    yield address, workers, scheduler
    for process in (scheduler, *workers):
        process.kill()
        process.wait()


@pytest.fixture
def cluster(tmp_path):
    with _a_cluster(tmp_path) as given:
        yield given


@pytest.fixture(scope="module")
def lasting_cluster(tmp_path_factory):
    """One for all tests of a module, none of which harms it."""
    with _a_cluster(tmp_path_factory.mktemp("cluster")) as given:
        yield given
