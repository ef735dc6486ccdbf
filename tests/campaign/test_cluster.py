"""A loopback cluster: the same bits, also when a worker is killed in the middle."""

import signal
import socket
import time
from threading import Thread
from types import SimpleNamespace

import numpy as np
import pytest

from finial.campaign import cluster as cluster_module
from finial.campaign.campaign import code_hash, fly_range
from finial.campaign.cluster import Cluster
from finial.campaign.run import Threads, kept_flights, run_campaign
from finial.core.errors import CampaignError

from .conftest import one_more_worker


def _rows(folder):
    import pyarrow.parquet as parquet

    tables = [parquet.read_table(path) for path in sorted(folder.glob("flights-*.parquet"))]
    return np.vstack([np.column_stack([column.to_numpy() for column in table.columns]) for table in tables])


@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")
def test_a_worker_killed_in_the_middle_loses_and_doubles_nothing(campaign, tmp_path, cluster):
    address, workers, _ = cluster
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
def test_a_worker_that_joins_in_the_middle_flies_the_rest_when_the_others_are_killed(
    campaign, tmp_path, cluster
):
    """Spot machines that come and go: the two of the beginning are gone before half of it is flown."""
    from distributed import Client

    address, workers, _ = cluster
    told, flights = [], 600

    def come_and_go(count):
        told.append(count)
        if len(told) != 3:
            return
        workers.append(one_more_worker(tmp_path))
        with Client(address, timeout=60.0, set_as_default=False) as client:
            client.wait_for_workers(3, timeout=60.0)
        for one in workers[:2]:
            one.send_signal(signal.SIGKILL)
            one.wait()

    run_campaign(campaign(flights=flights), tmp_path / "a", Cluster(address), chunk=20, told=come_and_go)
    run_campaign(campaign(flights=flights), tmp_path / "b", Threads(1))
    assert [one.poll() for one in workers] == [-signal.SIGKILL, -signal.SIGKILL, None]
    assert sum(told) == flights  # each range came back once
    rows = _rows(tmp_path / "a")
    assert rows[:, 0].tolist() == list(range(flights))
    assert np.array_equal(rows, _rows(tmp_path / "b"), equal_nan=True)


def test_a_worker_of_another_version_that_joins_flies_nothing(campaign):
    """Those there at the beginning are asked what they run; of the others nobody knows until they fly."""
    given = campaign(flights=4), 0, 4
    flown = cluster_module._as_here(code_hash(), fly_range, *given)
    assert np.array_equal(flown.results, fly_range(*given).results, equal_nan=True)
    with pytest.raises(CampaignError, match="another version of the program"):
        cluster_module._as_here("another", fly_range, *given)


@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")
def test_a_scheduler_killed_in_the_middle_is_said_so_and_what_was_kept_goes_on(campaign, tmp_path, cluster):
    address, _, scheduler = cluster
    told = []

    def kill_it(count):
        told.append(count)
        if len(told) == 3:
            scheduler.kill()
            scheduler.wait()

    with pytest.raises(CampaignError, match=r"lost its workers or its scheduler .* What was kept stays"):
        run_campaign(campaign(flights=1000), tmp_path / "a", Cluster(address), chunk=20, told=kill_it)
    kept = kept_flights(tmp_path / "a", 1000)
    assert 60 <= kept < 1000
    run_campaign(campaign(flights=1000), tmp_path / "a", Threads(2), chunk=330)
    run_campaign(campaign(flights=1000), tmp_path / "b", Threads(2))
    assert np.array_equal(_rows(tmp_path / "a"), _rows(tmp_path / "b"), equal_nan=True)


class _Lost(Exception):
    """Stands for a result that went down with its worker."""


class _Done(list):
    """Hands out what was sent, and what is sent again."""

    def __iter__(self):
        while self:
            yield self.pop(0)

    add = list.append


class _Handed:
    """A client whose first worker takes what all flights share down with it."""

    status, loop = "running", None

    def __init__(self):
        self.lent, self.sent = [], 0

    def scatter(self, _campaign, **_how):
        self.lent.append(object())
        return self.lent[-1]

    def scheduler_info(self):
        return {"workers": {"one": {}}}

    def submit(self, _check, _code, _function, lent, first, end, **_how):
        self.sent += 1

        def result():
            if lent is self.lent[0]:
                raise _Lost
            return first, end

        return SimpleNamespace(key=self.sent, result=result, release=lambda: None)


def test_what_all_flights_share_is_lent_anew_once_when_it_went_down_with_its_worker(campaign, monkeypatch):
    client, ranges = _Handed(), [(at, at + 10) for at in range(0, 80, 10)]
    library = SimpleNamespace(
        CancelledError=_Lost, KilledWorker=_Lost, as_completed=lambda sent, loop: _Done(sent)
    )
    monkeypatch.setattr(cluster_module, "_TRIES", 1)
    flown = list(cluster_module._flown_by(client, library, campaign(), ranges))
    assert sorted(flown) == ranges
    assert len(client.lent) == 2
    client.status = "closed"
    with pytest.raises(ConnectionError):
        list(cluster_module._flown_by(client, library, campaign(), ranges))


@pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::DeprecationWarning")
def test_a_scheduler_that_does_not_answer_is_said_so(campaign, tmp_path):
    with pytest.raises(CampaignError, match="no scheduler answers at tcp:"):
        run_campaign(campaign(), tmp_path / "a", Cluster("tcp://127.0.0.1:9", answer_s=1.0))
    assert kept_flights(tmp_path / "a", 60) == 0


@pytest.mark.parametrize(
    "address",
    [
        "",
        "127001",
        "garbage",
        "tcp://",
        "tcp://127.0.0.1",
        "tcp://127.0.0.1:",
        "tcp://127.0.0.1:0",
        "tcp://127.0.0.1:-1",
        "tcp://127.0.0.1:99999",
        "tcp://127.0.0.1:eighty",
        "tcp://127.0.0.1:9/../x",
        "tcp://[::1",
        "http://127.0.0.1:80",
        "inproc://1/2/3",
        "tcp://\x1b[2Jgo:1",
        "x" * 3000,
    ],
)
def test_an_address_that_is_none_is_refused_before_anyone_is_asked(campaign, tmp_path, address):
    with pytest.raises(CampaignError, match=r"is no address of a scheduler: give tcp://HOST:PORT") as refused:
        run_campaign(campaign(), tmp_path / "a", Cluster(address, answer_s=1.0))
    assert str(refused.value).isprintable()
    assert len(str(refused.value)) < 300


@pytest.mark.parametrize("says", [b"", b"HTTP/1.1 400 Bad Request\r\n\r\n" * 3])
def test_what_listens_there_and_is_no_scheduler_is_said_so(campaign, tmp_path, monkeypatch, says):
    monkeypatch.setattr(cluster_module, "_LATE_S", 1.0)
    with socket.create_server(("127.0.0.1", 0)) as server:
        Thread(target=_answer_once, args=(server, says), daemon=True).start()
        address = f"tcp://127.0.0.1:{server.getsockname()[1]}"
        with pytest.raises(CampaignError, match=r"no scheduler answers at .*something else listens there"):
            run_campaign(campaign(), tmp_path / "a", Cluster(address, answer_s=1.0))


def _answer_once(server, says):
    wire, _ = server.accept()
    wire.sendall(says)
    time.sleep(5.0)
    wire.close()
