"""The page of the tunnel's accuracy: what it says is what the kept runs say."""

import json

import docs.make_tunnel_accuracy as maker
import pytest
from bench.tunnel.plan import Case
from bench.tunnel.validate import asked_of


def line(name, angle_deg, cells, loads, **more):
    """One invented result of a tunnel of a hundred widths squared."""
    case = Case(name=name, angle_deg=angle_deg, cells=cells)
    return {
        **asked_of(case),
        "pressure": loads,
        "total": loads,
        "pressure_error": [0.01, 0.002, 0.002, 0.0, 0.0, 0.004],
        "section": 100.0,
        "restarts": 0,
        "updates": 1e9,
        "seconds": 1.0,
        "machine": "card",
        "place_error": 0.01,
        "swings": [None, [0.12, 0.02]],
        **more,
    }


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """Invented runs: a cube with the drag of the handbook and a falling force, a disk with half its drag."""
    lines = [
        line("prism 1", 0.0, 36.0, [1.05, 0.0, 0.0, 0.0, 0.0, 0.0]),
        line("prism 1", 0.0, 24.0, [1.10, 0.0, 0.0, 0.0, 0.0, 0.0]),
        line("prism 1", 5.0, 36.0, [1.0, -0.1, 0.0, 0.0, 0.0, -0.06]),
        line("disk", 0.0, 36.0, [0.55, 0.0, 0.0, 0.0, 0.0, 0.0]),
        {**asked_of(Case(name="sphere")), "failed": "lost"},
    ]
    path = tmp_path / "kept.jsonl"
    path.write_text("".join(json.dumps(each) + "\n" for each in lines), encoding="utf-8")
    monkeypatch.setattr(maker, "KEPT", path)
    return maker.kept()


def test_page_and_picture_are_made_from_the_kept_runs():
    told = "run: python -m docs.make_tunnel_accuracy"
    found = maker.kept()
    assert maker.PAGE.read_text(encoding="utf-8") == maker.page(found), told
    assert maker.PICTURE.read_text(encoding="utf-8") == maker.picture(found), told


def test_blockage_is_taken_off_and_friction_of_the_sides_added(kept):
    run = kept.best("prism 1", 0.0)
    # Four sides of 1 by 1 at a Reynolds number of 1e5: 4 * 0.455 / 5^2.58 = 0.0286 on the section.
    friction = 4 * 0.455 / 5**2.58
    assert run.drag == pytest.approx(1.05 / (1 + 2.6 * (1.05 + friction) * 0.01) + friction, rel=1e-3)


def test_the_error_holds_scatter_and_the_step_from_the_coarser_grid(kept):
    told = kept.told(kept.best("prism 1", 0.0), maker.drag_of)
    assert told.has_grid
    step = 0.05 * (1 - 2 * 2.6 * 1.08 * 0.01)
    assert told.error == pytest.approx(0.02 + step, rel=0.05)
    assert not kept.told(kept.best("disk", 0.0), maker.drag_of).has_grid


def test_only_what_touches_its_range_counts_as_inside(kept):
    inside = {one.name: one.inside for one in maker.known_drags(kept)}
    assert inside["prism 1"] == "yes"
    assert inside["disk"] == "**no**"
    assert inside["sphere"] == "not run"


def test_a_falling_force_is_called_a_negative_slope_and_its_centre_is_told(kept):
    said = "\n".join(maker.answers(kept))
    assert "negative" in said
    run = kept.best("prism 1", 5.0)
    assert maker.centre_of(run.loads, run.towards) == pytest.approx(0.6, abs=0.03)
    assert maker.moment_about(0.2)(run.loads, run.towards) == pytest.approx(0.2 * -0.1 + 0.06, abs=0.01)


def test_fins_are_held_to_the_measured_ones(tmp_path, monkeypatch):
    lines = [
        line("ogive-cylinder", 3.98, 24.0, [0.1, 0.143, 0.0, 0.0, 0.0, 0.7]),
        line("finned ogive-cylinder", 3.98, 24.0, [0.1, 0.5355, 0.0, 0.0, 0.0, 7.0]),
    ]
    path = tmp_path / "kept.jsonl"
    path.write_text("".join(json.dumps(each) + "\n" for each in lines), encoding="utf-8")
    monkeypatch.setattr(maker, "KEPT", path)
    # TN D-4013 has 0.928 with fins and 0.143 without: half of the difference is added here.
    (said,) = maker.measured_fins(maker.kept())
    assert "where 0.79 was measured" in said
    assert "**0.5" in said


def test_a_plate_stands_beside_the_measured_one(tmp_path, monkeypatch):
    path = tmp_path / "kept.jsonl"
    path.write_text(json.dumps(line("plate", 10.0, 24.0, [0.1, 0.25, 0.0, 0.0, 0.0, 0.1])) + "\n", "utf-8")
    monkeypatch.setattr(maker, "KEPT", path)
    (row,) = maker.plates(maker.kept())
    # Pelletier and Mueller 2000: 0.506 at 10 degrees.
    assert row[:3] == ["plate", "10°", "force"]
    assert row[5].startswith("0.506")


def test_what_failed_is_named(kept):
    assert "1 failed: sphere" in maker.page(kept)
