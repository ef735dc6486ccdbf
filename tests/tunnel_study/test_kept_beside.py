"""Runs that lie beside a sheet are shown beside its sections, and decide nothing."""

from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.air.results import StudyState
from finial.cli.kept_tunnel import with_kept_tunnel
from finial.files.tunnel_runs import read_tunnel_runs
from finial.findings.check import load, load_begun
from finial.findings.kept_check import loaded_once
from finial.tunnel_study.beside import beside_sections, kept_beside

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("name", ["skerry-light", "pagoda", "phone-box", "buoy-tiers"])
def test_each_example_keeps_a_study_of_its_very_shape_whose_centre_meets_the_band(name):
    beside = kept_beside(
        load(EXAMPLES / name / f"{name}.toml"), EXAMPLES / name / f"{name}-tunnel" / "runs.json"
    )
    assert beside.state is StudyState.BESIDE, "the mesh or the fins changed: blow again, or take the runs out"
    told = [row for row in beside.rows if row.place is not None]
    assert len(told) >= 6
    assert all(row.meets for row in told)
    # Alike on both sides: the force aside is chance.
    assert all(row.aside.low <= 0.01 and row.aside.high >= -0.01 for row in beside.rows)


def test_runs_of_another_shape_stand_beside_nothing(lighthouse):
    runs = read_tunnel_runs(EXAMPLES / "pagoda" / "pagoda-tunnel" / "runs.json")
    assert beside_sections(lighthouse, runs).state is StudyState.OTHER_SHAPE


def test_what_is_kept_beside_a_sheet_changes_no_verdict_and_no_finding(answered, tmp_path):
    sheet = EXAMPLES / "skerry-light" / "skerry-light.toml"
    shown = with_kept_tunnel(answered, sheet)
    assert shown.air.tunnel is not None
    assert replace(shown, air=answered.air) == answered
    nothing = with_kept_tunnel(answered, tmp_path / "skerry-light.toml")
    assert nothing is answered


def test_a_second_look_at_what_is_kept_loads_no_mesh(answered, monkeypatch, tmp_path):
    monkeypatch.setenv("FINIAL_CACHE_DIR", str(tmp_path))
    sheet = EXAMPLES / "skerry-light" / "skerry-light.toml"
    loaded: list[Path] = []

    def counted(path: Path, **_how: object):
        loaded.append(path)
        return load_begun(path)

    monkeypatch.setattr("finial.findings.kept_check._last", {})
    monkeypatch.setattr("finial.findings.check.load_begun", counted)
    first, second = with_kept_tunnel(answered, sheet), with_kept_tunnel(answered, sheet)
    assert first.air.tunnel == second.air.tunnel
    assert loaded == [sheet]


def test_a_vehicle_is_loaded_anew_once_a_file_of_it_has_changed(monkeypatch):
    loaded: list[str] = []
    monkeypatch.setattr("finial.findings.kept_check._last", {})
    monkeypatch.setattr("finial.findings.check.load_begun", lambda path, tell: loaded.append(path) or path)
    for path, content in (("a", "1"), ("a", "1"), ("a", "2"), ("a", None), ("a", "1")):
        loaded_once(path, content, print)
    assert loaded == ["a", "a", "a", "a"]
