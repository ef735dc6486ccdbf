"""``finial tunnel``: what is planned, blown, kept and said; a solver of numbers stands for the lattice."""

import json
import shutil
from pathlib import Path

import pytest
from tunnel_solver import MadeUp

from finial.core.errors import MissingData
from finial.files.variants import Variants

from .conftest import BUOY

SMALL = ("--cells", "6", "--grids", "1", "--travel", "2", "--angle", "0", "--angle", "10", "--quiet")


@pytest.fixture
def sheet(tmp_path) -> Path:
    """A copy of the sheet, to leave runs beside."""
    left_out = shutil.ignore_patterns("*-tunnel")
    return shutil.copytree(BUOY.parent, tmp_path / "buoy", ignore=left_out) / BUOY.name


@pytest.fixture
def blown(monkeypatch, buoy) -> MadeUp:
    """The loaded example, and a solver that counts what it is asked."""
    solver = MadeUp()
    monkeypatch.setattr("finial.tunnel.run.blow", solver)
    monkeypatch.setattr("finial.tunnel_study.machines.measured_speed", lambda _blow, _card: 1e7)
    monkeypatch.setattr("finial.findings.check.load", lambda _path, tell: buoy)
    return solver


def test_a_plan_says_what_it_costs_and_blows_nothing(finial, sheet, blown) -> None:
    done = finial("tunnel", sheet, *SMALL, "--plan")
    assert done.code == 0
    assert blown.asked == []
    # A shape that repeats twice has two rolls: one run ahead and two at an angle, on two grids each.
    assert "6, of which 0 are kept" in done.out
    assert "10 million cell updates a second as measured" in done.out
    assert not sheet.with_name("buoy-tiers-tunnel").exists()


def test_runs_are_kept_beside_the_sheet_and_not_blown_twice(finial, sheet, blown) -> None:
    done = finial("tunnel", sheet, *SMALL)
    assert done.code == 0
    assert len(blown.asked) == 6
    assert "In the tunnel, beside the sections" in done.out
    assert "Caution" in done.out
    assert (sheet.with_name("buoy-tiers-tunnel") / "runs.json").is_file()
    again = finial("tunnel", sheet, *SMALL)
    assert "6, of which 6 are kept" in again.out
    assert len(blown.asked) == 6


def test_grids_that_conserve_are_asked_kept_and_no_others(finial, sheet, blown) -> None:
    finial("tunnel", sheet, *SMALL)
    again = finial("tunnel", sheet, *SMALL, "--conserving")
    assert "6, of which 0 are kept" in again.out
    kept = json.loads((sheet.with_name("buoy-tiers-tunnel") / "runs.json").read_text(encoding="utf-8"))
    assert sorted(run["conserving"] for run in kept["runs"]) == [False] * 6 + [True] * 6


def test_json_tells_plan_and_readings_of_every_variant(finial, sheet, blown, tmp_path) -> None:
    done = finial("tunnel", sheet, *SMALL, "--bare", "--json", "--folder", tmp_path / "kept")
    told = json.loads(done.out)
    assert set(told["tunnel"]) == {"bare", "whole"}
    assert told["tunnel"]["whole"]["state"] == "holds"
    assert told["plan"]["left"]["updates_per_s"] == 1e7
    assert {run["bare"] for run in told["plan"]["runs"]} == {True, False}
    assert len(list((tmp_path / "kept").glob("run-*.npz"))) == len(told["plan"]["runs"])


def test_variants_that_the_page_keeps_are_blown_and_ranked(finial, sheet, blown) -> None:
    variants = Variants.of_sheet(sheet)
    variants.keep("thick", {"fin[1].thickness": "9 mm"})
    variants.keep("renamed", {"fin[1].name": "another name"})
    asked = (*SMALL, "--variant", "thick", "--variant", "renamed")
    planned = finial("tunnel", sheet, *asked, "--plan")
    # The one of another name is of the same shape: nothing is blown twice.
    assert "12, of which 0 are kept" in planned.out
    assert "as written, thick" in planned.out
    done = finial("tunnel", sheet, *asked, "--json")
    told = json.loads(done.out)
    assert len(blown.asked) == 12
    assert set(told["tunnel"]) == {"whole", "variant thick", "variant renamed"}
    assert {one["state"] for one in told["tunnel"].values()} == {"holds"}
    assert {run["variant"] for run in told["plan"]["runs"]} == {"", "thick"}
    said = finial("tunnel", sheet, *asked)
    assert len(blown.asked) == 12
    assert "In the tunnel, beside the sections: variant thick" in said.out


def test_a_variant_that_nobody_keeps_is_refused(finial, sheet, blown) -> None:
    done = finial("tunnel", sheet, *SMALL, "--variant", "no such", "--plan")
    assert done.code == 2
    assert "no variant is called 'no such'" in done.err


def test_pictures_are_drawn_where_asked(finial, sheet, blown, tmp_path) -> None:
    finial("tunnel", sheet, *SMALL, "--plots", tmp_path / "drawn")
    assert {path.name for path in (tmp_path / "drawn").iterdir()} == {
        "tunnel-places.svg",
        "tunnel-along.svg",
        "tunnel-pressure.svg",
        "tunnel-history.svg",
        "tunnel-air-speed.svg",
        "tunnel-air-pressure.svg",
        "tunnel-moments.svg",
        "tunnel-air-along.csv",
        "tunnel-air-across.csv",
        "tunnel-moments.csv",
    }


def test_runs_that_diverge_are_named_and_the_code_says_so(finial, sheet, blown, monkeypatch) -> None:
    monkeypatch.setattr("finial.tunnel.run.blow", MadeUp(diverges_at=0.0))
    done = finial("tunnel", sheet, *SMALL)
    assert done.code == 4
    assert "lost at 0 deg" in done.out
    assert "diverged" in done.out


def test_without_a_card_the_processor_blows_with_a_word(finial, sheet, blown, monkeypatch) -> None:
    def none() -> int:
        raise MissingData("no graphics card that CUDA can use was found")

    monkeypatch.setattr("finial.core.cards.card_count", none)
    loud = [word for word in SMALL if word != "--quiet"]
    done = finial("tunnel", sheet, *loud, "--card", "0", "--plan")
    assert done.code == 0
    assert "no graphics card that CUDA can use was found: blowing on the processor instead" in done.err


def test_a_card_that_is_not_there_is_refused(finial, sheet, blown, monkeypatch) -> None:
    monkeypatch.setattr("finial.core.cards.card_count", lambda: 2)
    done = finial("tunnel", sheet, *SMALL, "--card", "2")
    assert done.code == 2
    assert "card 2: there are 2, counted from 0" in done.err


def test_what_no_memory_holds_is_refused_before_it_starts(finial, sheet, blown, monkeypatch) -> None:
    monkeypatch.setattr("finial.tunnel_study.machines.free_memory", lambda _card: 1e4)
    done = finial("tunnel", sheet, *SMALL)
    assert done.code == 2
    assert "cells to a width fit, instead of 6" in done.err
    assert blown.asked == []


def test_ctrl_c_ends_it_and_keeps_what_was_blown(finial, sheet, blown, monkeypatch) -> None:
    monkeypatch.setattr("finial.tunnel.run.blow", MadeUp(stops_after=2))
    done = finial("tunnel", sheet, *SMALL)
    assert done.code == 130
    assert len(list(sheet.with_name("buoy-tiers-tunnel").glob("run-*.npz"))) == 2


def test_a_cluster_goes_without_cards_and_needs_an_address(finial, sheet, blown) -> None:
    both = finial("tunnel", sheet, *SMALL, "--cluster", "tcp://127.0.0.1:8786", "--card", "0")
    assert (both.code, "give one of them" in both.err) == (2, True)
    nowhere = finial("tunnel", sheet, *SMALL, "--cluster", "somewhere")
    assert (nowhere.code, "no address of a scheduler" in nowhere.err) == (2, True)
