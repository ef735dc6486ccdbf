"""Surface pressures of a study in one small file."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.core.errors import CampaignError, MissingData
from finial.files.tunnel_runs import read_tunnel_runs
from finial.tunnel.records import Fineness
from finial.tunnel_study.plan import StudyAsked, StudyPlan, planned
from finial.tunnel_study.run import run_study
from finial.tunnel_study.store import KeptRun, read_kept
from finial.tunnel_study.surfaces import SURFACES, read_surfaces, surfaces_of
from finial.tunnel_study.thinned_surfaces import MOST_PLACES, surfaces_bytes

SMALL = Fineness(cells=6.0, grids=1, side_widths=2.0, settle_widths=1.0, travel_widths=2.0)
ASKED = StudyAsked(angles_rad=tuple(np.radians([0.0, 10.0])), fineness=SMALL)
EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def plan(lighthouse) -> StudyPlan:
    return planned(lighthouse, ASKED)


@pytest.fixture(scope="module")
def kept(plan, solver_once, tmp_path_factory) -> list[KeptRun]:
    """Runs with the pressure of a slope along a round tube, the finer grid a tenth higher."""
    folder = tmp_path_factory.mktemp("kept")
    run_study(plan, folder, solver_once())
    return [_on_a_tube(one) for one in read_kept(folder)]


def _on_a_tube(run: KeptRun) -> KeptRun:
    cell_m = run.told.width_m / run.told.cells
    stations, rolls = np.meshgrid(np.arange(0.0, 1.0, cell_m), np.arange(0.0, 2.0 * np.pi, 0.5))
    places = np.column_stack([stations.ravel(), 0.06 * np.cos(rolls.ravel()), 0.06 * np.sin(rolls.ravel())])
    slope = 0.9 - 1.5 * places[:, 0]
    return replace(run, places_m=places, pressures=slope + (0.1 if run.told.cells == 6.0 else 0.0))


def test_of_each_wind_the_finest_run_is_kept(kept, tmp_path) -> None:
    (tmp_path / SURFACES).write_bytes(surfaces_bytes(kept))
    found = read_surfaces(tmp_path)
    winds = [(round(np.degrees(one.told.angle_rad)), round(np.degrees(one.told.roll_rad))) for one in found]
    assert winds == [(0, 0), (10, 0), (10, 45)]
    assert {one.told.cells for one in found} == {6.0}
    assert {one.told.grids for one in found} == {2}
    for one in found:
        assert one.pressures == pytest.approx(1.0 - 1.5 * one.places_m[:, 0], abs=0.03)


def test_places_come_back_as_finely_as_a_builder_sees(kept, tmp_path) -> None:
    (tmp_path / SURFACES).write_bytes(surfaces_bytes(kept))
    places = read_surfaces(tmp_path)[0].places_m
    off_axis = np.hypot(places[:, 1], places[:, 2])
    assert off_axis == pytest.approx(0.06, abs=2e-5)
    assert np.ptp(places[:, 0]) == pytest.approx(np.ptp(kept[-1].places_m[:, 0]), abs=0.05)


def test_a_fine_run_is_thinned_to_what_is_small_to_ship(kept) -> None:
    run = replace(kept[-1], told=kept[-1].told.model_copy(update={"cells": 60.0}))
    many = np.random.default_rng(2).uniform(size=(30_000, 3)) * np.array([1.0, 0.3, 0.3])
    fine = replace(run, places_m=many, pressures=np.sin(9.0 * many[:, 0]))
    content = surfaces_bytes([fine] * 1)
    assert 20_000 < len(content) < 200_000
    assert MOST_PLACES == 6000


def test_a_study_writes_its_surfaces_as_runs_end_and_a_shape_finds_its_own(plan, solver, tmp_path) -> None:
    studied = run_study(plan, tmp_path, solver())
    shape = plan.runs[0].shape_hash
    found = surfaces_of(shape, tmp_path)
    assert len(found) == 3
    assert {one.told.shape for one in found} == {run.shape for run in read_tunnel_runs(studied.runs_file)}
    assert surfaces_of(shape, tmp_path) == found
    with pytest.raises(MissingData, match="another shape"):
        surfaces_of("0" * 32, tmp_path)
    with pytest.raises(MissingData, match="kept yet"):
        surfaces_of(shape, tmp_path / "nowhere")


@pytest.mark.parametrize(
    "damage", [lambda text: text[:-40], lambda text: b"PK" + text[2:40], lambda _text: b""]
)
def test_a_damaged_file_is_said_so(kept, tmp_path, damage) -> None:
    path = tmp_path / SURFACES
    path.write_bytes(damage(surfaces_bytes(kept)))
    with pytest.raises(CampaignError, match="not as it was written"):
        read_surfaces(tmp_path)


def test_what_the_examples_ship_is_small_and_of_their_own_shape() -> None:
    shipped = sorted(EXAMPLES.glob(f"*/*-tunnel/{SURFACES}"))
    assert shipped
    for path in shipped:
        assert path.stat().st_size < 200_000
        shapes = {run.shape for run in read_tunnel_runs(path.with_name("runs.json"))}
        found = read_surfaces(path.parent)
        assert {one.told.shape for one in found} <= shapes
        assert all(np.nanmin(one.pressures) < -0.2 and np.nanmax(one.pressures) > 0.5 for one in found)
