"""Bodies, plan and table of the tunnel's validation: volumes by their formulas, nothing left out."""

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from bench.tunnel.bodies import BODIES, body
from bench.tunnel.plan import plan, smoke
from bench.tunnel.validate import kept_lines

from finial.tunnel.cutting.winding import closes

EXPECTED = Path(__file__).parents[2] / "bench" / "tunnel" / "expected.csv"
VOLUMES = {
    "prism 1": 1.0,
    "prism 10": 10.0,
    "rounded square across": 10 * (1 - (4 - np.pi) * 0.17**2),
    "cylinder 2": np.pi / 2,
    "sphere": np.pi / 6,
    "hemisphere flat": np.pi / 12,
    "hemisphere round": np.pi / 12,
    "plate": 2.0 * 0.026,
    "cone 60": np.pi / 12 * 0.5 / np.tan(np.radians(30)),
    "capsule": np.pi / 12 * 0.5 / np.tan(np.radians(33)),
}


def volume(shape):
    a, b, c = (shape.points_m[shape.triangles[:, corner]] for corner in range(3))
    return np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6


@pytest.mark.parametrize("name", BODIES)
def test_every_body_is_closed_with_its_tip_at_the_origin(name):
    shape = body(name).shape
    assert closes(shape.triangles)
    assert volume(shape) > 0
    assert shape.points_m[:, 0].min() == pytest.approx(0.0, abs=1e-9)
    assert np.abs(shape.points_m[:, 1:].mean(axis=0)).max() < 1e-6


@pytest.mark.parametrize("name", VOLUMES)
def test_volumes_are_those_of_the_formulas(name):
    assert volume(body(name).shape) == pytest.approx(VOLUMES[name], rel=4e-3)


def test_each_fin_stands_out_of_the_body_by_its_span():
    bare, finned = body("prism 7").shape, body("finned prism 7").shape
    assert np.abs(finned.points_m[:, 1:]).max() == pytest.approx(0.5 + 0.7)
    # A trapezium of 0.8 and 0.6 by 0.7, and its root sunk in by a quarter, 0.04 thick, four times.
    assert volume(finned) - volume(bare) == pytest.approx(4 * 0.04 * (0.7 * 0.7 + 0.25 * 0.8), rel=1e-6)


def test_the_plan_holds_each_case_once_and_every_body():
    cases = plan()
    assert len({case.key for case in cases}) == len(cases)
    assert {case.name for case in cases} == set(BODIES)
    assert [case.name for case in cases[:2]] == ["prism 1", "prism 1"]
    # A cube in a tunnel of 10 by 10 by 14.5 widths at 8 cells, nested: far less than 8^3 of one grid alone.
    assert all(1e7 < case.updates() < 8**3 * 10 * 10 * 14.5 * 80 * 16 for case in smoke())


def test_every_expected_row_is_of_a_case_of_the_plan():
    lines = EXPECTED.read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    known = {(case.name, case.angle_deg) for case in plan()}
    for row in rows:
        assert (row["name"], float(row["angle_deg"])) in known
        assert float(row["low"]) < float(row["central"]) < float(row["high"])
        assert "seen" in row["source"] or "from memory" in row["source"] or "worked" in row["source"]


def test_a_line_that_a_kill_cut_short_is_left_out(tmp_path):
    kept = tmp_path / "kept.jsonl"
    kept.write_text(json.dumps({"key": "a"}) + '\n{"key": "b', encoding="utf-8")
    assert kept_lines(kept) == [{"key": "a"}]
    assert kept.read_text(encoding="utf-8").endswith("}\n")
