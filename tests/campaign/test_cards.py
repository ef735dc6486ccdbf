"""A campaign on graphics cards: run by numba's simulator here, beside the processor where there is none.

The simulator runs the card's kernel in plain Python, so that a flight takes a second and needs no card.
"""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pyarrow.parquet as parquet
import pytest

from finial.campaign.campaign import PROCESSORS, fingerprint
from finial.campaign.flown import read_flown
from finial.campaign.run import Threads, run_campaign
from finial.core.errors import CampaignError

HERE = Path(__file__).parent
_SCRIPT = """
import sys
from pathlib import Path

sys.path.insert(0, {here!r})
from conftest import small_campaign
from finial.campaign.cards import on_cards
from finial.campaign.run import run_campaign

folder, stop_after, chunk = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
kept = []


def told(count):
    kept.append(count)
    if len(kept) == stop_after:
        import os

        os._exit(9)


campaign, cards = on_cards(small_campaign(flights=4, design={design!r}))
run_campaign(campaign, folder, cards, chunk=chunk, told=told)
print(campaign.rounding)
"""


def _on_a_simulated_card(folder, *, stop_after=0, chunk=1, design="plain"):
    environment = {
        **os.environ,
        "NUMBA_ENABLE_CUDASIM": "1",
        "NUMBA_DISABLE_JIT": "1",
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
    }
    return subprocess.run(
        [
            *(sys.executable, "-W", "ignore", "-c", _SCRIPT.format(here=str(HERE), design=design)),
            *(str(folder), str(stop_after), str(chunk)),
        ],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
    )


def _rows(folder):
    tables = [parquet.read_table(path) for path in sorted(folder.glob("flights-*.parquet"))]
    return np.vstack([np.column_stack([column.to_numpy() for column in table.columns]) for table in tables])


@pytest.fixture(scope="module")
def straight(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cards") / "straight"
    done = _on_a_simulated_card(folder, chunk=4)
    assert done.returncode == 0, done.stderr
    return folder, done.stdout.strip()


def test_killed_in_the_middle_and_cut_otherwise_it_ends_with_the_same_bits(straight, tmp_path):
    killed = _on_a_simulated_card(tmp_path / "c", stop_after=2, chunk=1)
    assert killed.returncode == 9
    assert 1 <= len(list((tmp_path / "c").glob("flights-*.parquet"))) < 4
    assert _on_a_simulated_card(tmp_path / "c", chunk=2).returncode == 0
    assert np.array_equal(_rows(tmp_path / "c"), _rows(straight[0]), equal_nan=True)


@pytest.mark.parametrize("design", ["latin"])
def test_a_design_comes_to_the_card_row_by_row(campaign, tmp_path, design):
    assert _on_a_simulated_card(tmp_path / "c", design=design, chunk=3).returncode == 0
    run_campaign(campaign(flights=4, design=design), tmp_path / "p", Threads(1))
    ours, theirs = read_flown(tmp_path / "p"), read_flown(tmp_path / "c")
    assert theirs.drawn == pytest.approx(ours.drawn, rel=1e-12)
    # In plain Python sines and powers are the processor's own, so nothing grows along the flight.
    assert theirs.results["landing_east_m"] == pytest.approx(ours.results["landing_east_m"], rel=1e-6)


def test_what_rounded_the_flights_is_written_down_and_told(straight):
    folder, rounding = straight
    assert rounding.startswith("simulated card 5.2, numba")
    assert read_flown(folder).rounding == rounding


def test_flights_of_card_and_processor_are_never_mixed(straight, campaign):
    with pytest.raises(CampaignError, match=r"it was flown on simulated card .* processors would round"):
        run_campaign(campaign(flights=6), straight[0], Threads(1))


def test_the_fingerprint_holds_what_rounds(campaign):
    ours = campaign(flights=4)
    assert ours.rounding == PROCESSORS
    assert fingerprint(ours) != fingerprint(replace(ours, rounding="NVIDIA H200 9.0"))
