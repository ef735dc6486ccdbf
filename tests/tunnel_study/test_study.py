"""Plan, store and runner of a study, with a solver of numbers."""

import json
import math
from dataclasses import replace
from threading import Event, Thread

import numpy as np
import pytest

from finial.assemble.air.tunnel_shape import tunnel_shape
from finial.assemble.day import day_at_pad
from finial.core.errors import CampaignError, OutsideRange
from finial.files.alone import holding
from finial.files.tunnel_runs import read_tunnel_runs
from finial.report.tunnel_text import FIN_CELLS, plan_lines
from finial.tunnel.boxes import nested_boxes
from finial.tunnel.lattice import BYTES_A_CELL
from finial.tunnel.plates import LEAST_CELLS
from finial.tunnel.reading import pressure_round
from finial.tunnel.records import Fineness
from finial.tunnel_study.beside import beside_sections
from finial.tunnel_study.machines import cube, measured_speed, refuse_too_large
from finial.tunnel_study.plan import (
    StudyAsked,
    StudyPlan,
    cost_of,
    planned,
    rolls_for,
    section_share,
    together,
)
from finial.tunnel_study.run import run_study
from finial.tunnel_study.store import kept_keys, lock_of, read_kept
from finial.tunnel_study.summaries import write_runs

SMALL = Fineness(cells=6.0, grids=1, side_widths=2.0, settle_widths=1.0, travel_widths=2.0)
ASKED = StudyAsked(angles_rad=tuple(np.radians([0.0, 5.0, 10.0])), fineness=SMALL)


@pytest.fixture(scope="module")
def plan(lighthouse) -> StudyPlan:
    return planned(lighthouse, ASKED)


def test_a_square_tower_is_blown_at_its_faces_and_corners_on_two_grids(plan) -> None:
    asked = {
        (round(math.degrees(run.stream.angle_rad)), round(math.degrees(run.stream.roll_rad)))
        for run in plan.runs
    }
    assert plan.repeats == 4
    assert asked == {(0, 0), (5, 0), (5, 45), (10, 0), (10, 45)}
    assert [run.fineness.cells for run in plan.runs] == [4.0] * 5 + [6.0] * 5
    assert len({run.key for run in plan.runs}) == 10


def test_the_plan_tells_the_cells_along_the_shortest_fin(plan, lighthouse) -> None:
    """Root 250, tip 165, swept 160 and 190 mm out: 207.5 mm of mean chord."""
    widths = 0.2075 / lighthouse.skin.width_m
    assert plan.fin_cells == pytest.approx((4.0 * widths, 6.0 * widths))
    said = "\n".join(line.text for line in plan_lines(plan, cost_of(plan.runs), None, 0))
    assert f"{4.0 * widths:.3g}, {6.0 * widths:.3g}" in said
    assert f"fewer than {FIN_CELLS:g} cells of mean chord" in said.replace("\n", " ").replace("  ", " ")
    many = replace(plan, fin_chord_widths=FIN_CELLS / 6.0)
    assert "of mean chord" not in "\n".join(
        line.text for line in plan_lines(many, cost_of(many.runs), None, 0)
    )
    assert replace(plan, fin_chord_widths=None).fin_cells == ()


def test_fins_are_drawn_as_thick_as_each_grid_bears_and_stay_the_same_shape(plan, lighthouse) -> None:
    coarse, fine = plan.runs[0], plan.runs[-1]
    assert coarse.shape_hash == fine.shape_hash
    for run in (coarse, fine):
        least = LEAST_CELLS * run.width_m / run.fineness.cells
        drawn = tunnel_shape(lighthouse, least_m=least)
        assert np.array_equal(run.shape.points_m, drawn.points_m)
    thin = tunnel_shape(lighthouse, least_m=1e-4).points_m
    assert np.array_equal(thin, tunnel_shape(lighthouse).points_m)
    assert np.abs(coarse.shape.points_m - thin).max() > 0.3 * LEAST_CELLS * coarse.width_m / 4.0


def test_fewer_rolls_are_needed_the_more_a_shape_repeats() -> None:
    assert [len(rolls_for(repeats)) for repeats in (1, 2, 3, 4, 144)] == [4, 2, 2, 2, 1]
    assert rolls_for(3)[1] == pytest.approx(math.radians(60.0))


def test_bare_runs_are_of_another_shape(lighthouse) -> None:
    both = planned(lighthouse, replace(ASKED, bare=True))
    bare = {run.shape_hash for run in both.runs if run.bare}
    assert len(bare) == 1
    assert bare.isdisjoint(run.shape_hash for run in both.runs if not run.bare)


def test_what_two_variants_share_is_blown_once(plan, lighthouse) -> None:
    others = (planned(lighthouse, asked, name) for name, asked in
              (("the same", ASKED), ("more", replace(ASKED, bare=True))))  # fmt: skip
    both = together([plan, *others])
    assert {run.key for run in plan.runs} < {run.key for run in both.runs}
    assert len({run.key for run in both.runs}) == len(both.runs)
    assert {run.variant for run in both.runs} == {"", "more"}
    assert {run.variant for run in both.runs if run.key in {one.key for one in plan.runs}} == {""}
    assert [run.fineness.cells for run in both.runs] == sorted(run.fineness.cells for run in both.runs)


def test_cost_counts_every_step_of_every_cell(plan) -> None:
    run = plan.runs[0]
    cost = cost_of([run])
    # 3 widths at 4 cells to a width and 0.1 cells a step: 120 steps of one grid.
    assert cost.updates == pytest.approx(120 * cost.cells)
    assert cost.memory_bytes == cost.cells * 216
    assert cost_of([run, run]).updates == 2 * cost.updates


def test_the_walls_stand_two_widths_off(plan) -> None:
    run = next(run for run in plan.runs if run.stream.angle_rad == 0.0)
    across = np.ptp(run.shape.points_m[:, 1:], axis=0) / run.width_m
    section = (across[0] + 4.0) * (across[1] + 4.0) * run.width_m**2
    assert section_share(run) == pytest.approx(run.area_m2 / section, rel=0.2)


@pytest.mark.parametrize(
    "asked",
    [replace(ASKED, angles_rad=()), replace(ASKED, angles_rad=(4.0,)), replace(ASKED, rolls_rad=(7.0,)),
     replace(ASKED, fineness=replace(SMALL, cells=5.0))],
)  # fmt: skip
def test_what_no_study_can_be_is_refused(lighthouse, asked) -> None:
    with pytest.raises(OutsideRange):
        planned(lighthouse, asked)


def test_every_run_is_kept_once_and_read_back(plan, solver, tmp_path) -> None:
    blow, shares = solver(), []
    studied = run_study(plan, tmp_path, blow, told=shares.append)
    assert (studied.done, studied.failed, studied.elsewhere) == (10, (), 0)
    assert len(blow.asked) == 10
    assert shares[0] == 0.0
    assert shares[-1] == pytest.approx(1.0)
    again = solver()
    assert run_study(plan, tmp_path, again).done == 10
    assert again.asked == []
    runs = read_tunnel_runs(studied.runs_file)
    assert {run.key for run in runs} == {run.key for run in plan.runs}
    assert {kept.told for kept in read_kept(tmp_path)} == set(runs)


def test_a_kept_run_tells_the_pressure_round_every_slice(plan, solver, tmp_path) -> None:
    studied = run_study(plan, tmp_path, solver())
    for kept in read_kept(tmp_path):
        told = kept.told
        assert len(told.surface) == len(told.along)
        assert told.surface == pressure_round(np.array(told.stations_m), kept.places_m, kept.pressures)
    assert all(run.surface for run in read_tunnel_runs(studied.runs_file))


def test_a_study_that_is_stopped_goes_on_where_it_was(plan, solver, tmp_path) -> None:
    with pytest.raises(KeyboardInterrupt):
        run_study(plan, tmp_path, solver(stops_after=3))
    assert len(kept_keys(tmp_path)) == 3
    rest = solver()
    assert run_study(plan, tmp_path, rest).done == 10
    assert len(rest.asked) == 7


def test_a_run_that_another_process_holds_is_left_to_it(plan, solver, tmp_path) -> None:
    blow = solver()
    with holding(lock_of(tmp_path, plan.runs[0].key)) as alone:
        assert alone
        studied = run_study(plan, tmp_path, blow)
    assert (studied.done, studied.elsewhere, len(blow.asked)) == (9, 1, 9)


def test_one_that_waits_for_a_lock_gets_it(tmp_path) -> None:
    let_go, got = Event(), []

    def other() -> None:
        with holding(tmp_path / "lock", wait=True) as alone:
            got.append(alone)
        let_go.set()

    with holding(tmp_path / "lock"):
        thread = Thread(target=other)
        thread.start()
        assert not let_go.wait(0.2)
    thread.join()
    assert got == [True]


def test_a_run_that_diverges_is_told_and_the_others_go_on(plan, solver, tmp_path) -> None:
    studied = run_study(plan, tmp_path, solver(diverges_at=math.radians(5.0)))
    assert studied.done == 6
    assert len(studied.failed) == 4
    assert "diverged" in studied.failed[0].why


def test_a_damaged_file_is_set_aside_and_blown_again(plan, solver, tmp_path) -> None:
    run_study(plan, tmp_path, solver())
    victim = next(tmp_path.glob("run-*.npz"))
    victim.write_bytes(victim.read_bytes()[:-9])
    blow = solver()
    assert run_study(plan, tmp_path, blow).done == 10
    assert len(blow.asked) == 1
    assert len(list(tmp_path.glob("*.damaged"))) == 1


def test_runs_go_to_every_card(plan, solver, tmp_path) -> None:
    seen: set[int | None] = set()
    blow = solver()

    def noted(*given, card=None, **named):
        seen.add(card)
        Event().wait(0.05)
        return blow(*given, card=card, **named)

    assert run_study(plan, tmp_path, noted, cards=(0, 1)).done == 10
    assert seen == {0, 1}


def test_what_fits_no_memory_is_refused_with_what_fits(plan, monkeypatch) -> None:
    from finial.tunnel_study import machines

    needed = cost_of(plan.runs).memory_bytes
    monkeypatch.setattr(machines, "free_memory", lambda card: needed / 8.0)
    with pytest.raises(CampaignError, match=r"about 3 cells to a width fit, instead of 6"):
        refuse_too_large(plan.runs, (None,))
    monkeypatch.setattr(machines, "free_memory", lambda card: needed * 1.01)
    refuse_too_large(plan.runs, (None,))


def test_a_cube_closes_round_its_volume_and_times_the_machine(solver) -> None:
    shape = cube(0.2)
    one, two, three = np.moveaxis(shape.points_m[shape.triangles], 1, 0)
    assert np.einsum("ij,ij->i", one, np.cross(two, three)).sum() / 6 == pytest.approx(0.008)
    assert measured_speed(solver(), None) > 0.0


def test_what_the_runs_say_stands_beside_the_sections(lighthouse, plan, solver, tmp_path) -> None:
    run_study(plan, tmp_path, solver())
    beside = beside_sections(lighthouse, read_tunnel_runs(tmp_path / "runs.json"))
    row = next(one for one in beside.rows if one.angle_rad > 0.1 and one.roll_rad > 0.1)
    assert row.place is not None
    assert row.place.value == pytest.approx(0.7)
    # Both grids agree to the last digit here: what is left is what known shapes were off by.
    assert row.place.high - 0.7 == pytest.approx(0.06 * lighthouse.skin.width_m)
    sine = math.sin(math.radians(10.0))
    fine, coarse = 3.0 * sine * (1 - 0.8 / 6), 3.0 * sine * (1 - 0.8 / 4)
    assert row.force_read == pytest.approx(fine)
    # Both grids are taken off what the walls add: by the drag along the wind, so nearly alike.
    kept = row.force.value / fine
    assert 0.9 < kept < 1.0
    # The grids are 8 % apart: most shapes with edges were off by up to 15 %.
    assert row.force.value - row.force.low == pytest.approx(0.15 * kept * fine, rel=1e-6)
    assert fine - coarse < 0.15 * fine
    assert row.pressure_axial == pytest.approx(0.5)
    assert beside.friction is not None
    assert row.axial.value == pytest.approx(0.5 * kept + beside.friction.value, rel=1e-6)
    # Both grids read the same: 15 % is what most known shapes were off by, more than two errors of 0.01.
    assert row.axial.high - beside.friction.high == pytest.approx(0.5 * kept * 1.15, rel=2e-3)
    assert row.aside.value == pytest.approx(0.0, abs=1e-9)


def test_runs_of_another_shape_are_not_of_this_one(lighthouse, plan, solver, tmp_path) -> None:
    run_study(plan, tmp_path, solver())
    beside = beside_sections(lighthouse, read_tunnel_runs(tmp_path / "runs.json"), bare=True)
    assert (beside.state.value, beside.rows) == ("other shape", ())


def test_the_runs_file_is_the_same_whatever_the_order(plan, solver, tmp_path) -> None:
    run_study(plan, tmp_path / "one", solver())
    turned = replace(plan, runs=plan.runs[::-1])
    run_study(turned, tmp_path / "two", solver())
    told = [json.loads((tmp_path / name / "runs.json").read_text()) for name in ("one", "two")]
    for each in told:
        for run in each["runs"]:
            run["seconds"] = 0.0
    assert told[0] == told[1]
    assert write_runs(tmp_path / "one", plan.vehicle).name == "runs.json"


def test_the_swing_across_the_wind_is_kept(plan, solver, tmp_path) -> None:
    run_study(plan, tmp_path, solver())
    for kept in read_kept(tmp_path):
        assert kept.told.strouhal == pytest.approx(0.2, abs=0.03)
        assert kept.told.swing == pytest.approx(0.02 / math.sqrt(2.0), rel=0.05)


class Workers:
    """What a scheduler's workers would do, in this process."""

    def __init__(self, address, function, shared) -> None:
        self.address, self.function, self.shared = address, function, shared

    def answers(self, items):
        return (self.function(self.shared, item) for item in items)

    def close(self) -> None:
        self.address = ""


def test_workers_elsewhere_blow_what_is_missing(plan, solver, tmp_path, monkeypatch) -> None:
    from finial.tunnel_study.elsewhere import run_elsewhere

    run_study(replace(plan, runs=plan.runs[:4]), tmp_path, solver())
    blow, shares = solver(diverges_at=math.radians(10.0)), []
    monkeypatch.setattr("finial.tunnel_study.elsewhere.Helpers", Workers)
    monkeypatch.setattr("finial.tunnel.run.blow", blow)
    studied = run_elsewhere(plan, tmp_path, "tcp://nowhere:1", told=shares.append)
    assert len(blow.asked) == 6
    assert len(studied.failed) == sum(angle > 0.1 for angle, _, _ in blow.asked) > 0
    assert studied.done == 10 - len(studied.failed)
    assert shares[-1] == pytest.approx(1.0)


def test_the_flight_s_reynolds_number_is_that_of_mach_three_tenths_at_the_pad(lighthouse, plan) -> None:
    """Ideal gas and Sutherland's viscosity at the day's own temperature and pressure."""
    day = day_at_pad(lighthouse)
    speed = 0.3 * math.sqrt(1.4 * 287.05287 * day.temperature_k)
    density = day.pressure_pa / (287.05287 * day.temperature_k)
    viscosity = 1.458e-6 * day.temperature_k**1.5 / (day.temperature_k + 110.4)
    told = speed * density / viscosity * lighthouse.skin.width_m
    assert plan.flight_reynolds == pytest.approx(told, rel=2e-3)
    assert plan.runs[0].stream.reynolds == round(plan.flight_reynolds, -3)


@pytest.mark.parametrize(
    ("repeats", "degrees"),
    [(1, (0, 90, 180, 270)), (2, (0, 90)), (3, (0, 60)), (71, (0, 180 / 71)), (72, (0,))],
)
def test_the_fewest_rolls_stand_for_all(repeats: int, degrees: tuple[float, ...]) -> None:
    assert np.degrees(rolls_for(repeats)) == pytest.approx(degrees)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"angles_rad": ()}, "at least one"),
        ({"angles_rad": (-0.01,)}, "0 to 180"),
        ({"angles_rad": (3.15,)}, "0 to 180"),
        ({"rolls_rad": (-0.01,)}, "below 360"),
        ({"rolls_rad": (2 * math.pi,)}, "below 360"),
        ({"fineness": replace(SMALL, cells=5.9)}, "at least 6"),
    ],
)
def test_angles_rolls_and_grids_that_cannot_be_are_refused(lighthouse, changes, words: str) -> None:
    with pytest.raises(OutsideRange, match=words):
        planned(lighthouse, replace(ASKED, **changes))


def test_one_grid_alone_may_be_coarser_than_two(lighthouse) -> None:
    coarse = replace(ASKED, fineness=replace(SMALL, cells=5.0), two_grids=False, angles_rad=(0.0, math.pi))
    found = planned(lighthouse, replace(coarse, rolls_rad=(0.0, 1.0)))
    # Without an angle all rolls are the same wind; from behind they are not.
    winds = [(run.stream.angle_rad, run.stream.roll_rad) for run in found.runs]
    assert winds == [(0.0, 0.0), (math.pi, 0.0), (math.pi, 1.0)]
    assert {run.fineness.cells for run in found.runs} == {5.0}


def test_runs_cost_what_the_largest_holds_and_all_do(plan) -> None:
    one, both = cost_of(plan.runs[-1:]), cost_of(plan.runs[-2:])
    nested = nested_boxes(plan.runs[-1].shape, plan.runs[-1].stream, SMALL, plan.runs[-1].width_m)
    assert one.cells == nested.cells
    assert one.updates == pytest.approx(3.0 * SMALL.steps_a_width * nested.updates_a_step)
    assert (both.memory_bytes, both.cells) == (max(both.cells, 0) * BYTES_A_CELL, max(one.cells, both.cells))
    assert both.updates > 1.5 * one.updates
    assert cost_of(()).cells == 0
