"""Air on planes of a study's runs: kept with each run, told in one small file, and not missed by old runs."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tunnel_solver import MadeUp, made_up_flow

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import CampaignError, MissingData
from finial.files.tunnel_runs import read_tunnel_runs
from finial.tunnel.flow import AirSeen
from finial.tunnel.records import Fineness
from finial.tunnel_study import flows
from finial.tunnel_study.flows import FLOWS, flow_arrays, flow_from, flows_bytes, flows_of, read_flows
from finial.tunnel_study.plan import StudyAsked, StudyPlan, planned
from finial.tunnel_study.run import run_study
from finial.tunnel_study.store import keep, read_kept
from finial.tunnel_study.summaries import flows_in

SMALL = Fineness(cells=6.0, grids=1, side_widths=2.0, settle_widths=1.0, travel_widths=2.0)
ASKED = StudyAsked(angles_rad=tuple(np.radians([0.0, 10.0])), rolls_rad=(0.0,), fineness=SMALL)
EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def plan(lighthouse: LoadedVehicle) -> StudyPlan:
    return planned(lighthouse, ASKED)


@pytest.fixture(scope="module")
def folder(plan: StudyPlan, solver_once: type[MadeUp], tmp_path_factory: pytest.TempPathFactory) -> Path:
    there = tmp_path_factory.mktemp("kept")
    run_study(plan, there, solver_once())
    return there


def alike(one: AirSeen, other: AirSeen) -> None:
    assert one.apart_widths == other.apart_widths
    assert one.moments == pytest.approx(np.clip(other.moments, -2.54, 2.54), abs=0.0101)
    for plane, same in zip(one.planes, other.planes, strict=True):
        assert (plane.air == same.air).all()
        assert (plane.up_rad, plane.low_m, plane.step_m) == (same.up_rad, same.low_m, same.step_m)
        assert plane.speed == pytest.approx(same.speed, abs=0.0051)
        assert plane.pressure == pytest.approx(same.pressure, abs=0.0101)
        assert [loop.tolist() for loop in plane.outline_m] == [
            pytest.approx(loop.astype(np.float32)) for loop in same.outline_m
        ]


def test_what_was_seen_comes_back_as_finely_as_it_is_drawn() -> None:
    flow = made_up_flow(0.1, 0.2, 0.15)
    back = flow_from(flow_arrays(flow))
    assert back is not None
    alike(back, flow)
    assert flow_arrays(None) == {}
    assert flow_from({}) is None


def test_a_speed_or_a_pressure_out_of_reach_is_kept_at_the_end_not_wrapped_round() -> None:
    flow = made_up_flow(0.0, 0.0, 0.15)
    plane = flow.planes[0]
    wild = replace(plane, speed=plane.speed + 9.0, pressure=plane.pressure - 9.0)
    back = flow_from(flow_arrays(replace(flow, planes=(wild, wild), moments=flow.moments + 9.0)))
    assert back is not None
    assert (back.planes[0].air == plane.air).all()
    assert back.planes[0].speed.max() == 2.54
    assert back.planes[0].pressure[plane.air].max() == -2.54
    assert back.moments.max() == 2.54


def test_a_run_keeps_its_air_and_the_folder_tells_of_each_wind_the_finest(
    folder: Path, plan: StudyPlan
) -> None:
    kept = read_kept(folder)
    for one in kept:
        assert one.flow is not None
        assert one.flow.planes[0].up_rad == pytest.approx(one.told.roll_rad)
    told = read_flows(folder)
    assert [round(np.degrees(one.told.angle_rad)) for one in told] == [0, 10]
    assert {one.told.cells for one in told} == {6.0}
    assert {one.told.travel_widths for one in told} == {2.0}
    assert {one.told.moments for one in told} == {len(told[0].flow.moments)}
    shape = plan.runs[0].shape_hash
    assert flows_of(shape, folder) is flows_of(shape, folder)
    with pytest.raises(MissingData, match="another shape"):
        flows_of("0" * 32, folder)
    with pytest.raises(MissingData, match="kept yet"):
        flows_of(shape, folder / "nowhere")


def test_runs_of_earlier_versions_are_read_without(folder: Path, tmp_path: Path) -> None:
    old = replace(read_kept(folder)[0], flow=None)
    keep(tmp_path, old)
    [back] = read_kept(tmp_path)
    assert back.flow is None
    assert back.told == old.told
    assert list(flows_in([back])) == []


def _cut(content: bytes) -> bytes:
    return content[:-40]


def _another_head(content: bytes) -> bytes:
    return b"PK" + content[2:40]


def _emptied(_content: bytes) -> bytes:
    return b""


@pytest.mark.parametrize("damage", [_cut, _another_head, _emptied])
def test_a_damaged_file_is_said_so(folder: Path, tmp_path: Path, damage: Callable[[bytes], bytes]) -> None:
    (tmp_path / FLOWS).write_bytes(damage(flows_bytes(read_flows(folder))))
    with pytest.raises(CampaignError, match="not as it was written"):
        read_flows(tmp_path)


def test_moments_of_another_plane_are_no_flow() -> None:
    arrays = flow_arrays(made_up_flow(0.1, 0.2, 0.15))
    arrays["flow-moments"] = arrays["flow-moments"][:, :, 1:]
    with pytest.raises(ValueError, match="of one flow"):
        flow_from(arrays)


def test_what_the_examples_ship_is_small_of_their_own_shape_and_flows() -> None:
    shipped = sorted(EXAMPLES.glob(f"*/*-tunnel/{FLOWS}"))
    assert shipped
    for path in shipped:
        assert path.stat().st_size < 300_000
        shapes = {run.shape for run in read_tunnel_runs(path.with_name("runs.json"))}
        for one in read_flows(path.parent):
            assert one.told.shape in shapes
            for plane in one.flow.planes:
                assert plane.speed[0, :4] == pytest.approx(1.0, abs=0.05)
                assert (plane.speed[~plane.air] == 0.0).all()
                tail = max(loop[:, 0].max() for loop in plane.outline_m)
                column = round((tail - plane.low_m[0]) / plane.step_m) + 2
                assert plane.speed[:, column].min() < 0.3
                assert 0.4 < plane.pressure[plane.air].max() < 1.5


@pytest.mark.parametrize("missing", [0, 1])
def test_one_flow_of_two_that_is_told_of_and_not_there_is_a_damage(folder: Path, missing: int) -> None:
    one, other = read_flows(folder)[:2]
    arrays = {**flow_arrays(one.flow, "0-"), **flow_arrays(other.flow, "1-")}
    assert len(flows._kept((one.told, other.told), arrays)) == 2
    left = {name: values for name, values in arrays.items() if not name.startswith(f"{missing}-")}
    with pytest.raises(ValueError, match="not there"):
        flows._kept((one.told, other.told), left)
