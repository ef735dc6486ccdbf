"""A loopback cluster: the same bits, also when a worker is killed in the middle."""

import signal

import numpy as np
import pytest

from finial.campaign.cluster import Cluster
from finial.campaign.run import Threads, kept_flights, run_campaign
from finial.core.errors import CampaignError


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
def test_a_scheduler_that_does_not_answer_is_said_so(campaign, tmp_path):
    with pytest.raises(CampaignError, match="no scheduler answers at tcp:"):
        run_campaign(campaign(), tmp_path / "a", Cluster("tcp://127.0.0.1:9", answer_s=1.0))
    assert kept_flights(tmp_path / "a", 60) == 0


def test_an_address_that_is_none_is_said_so(campaign, tmp_path):
    with pytest.raises(CampaignError, match="no scheduler answers at"):
        run_campaign(campaign(), tmp_path / "a", Cluster("127001", answer_s=1.0))
