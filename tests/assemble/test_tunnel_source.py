"""A sheet that flies with its study of the tunnel, and one whose shape has changed since."""

import math
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from finial.aero.given import over_sine
from finial.assemble.air.results import StudyState
from finial.assemble.air.sections import section_loads
from finial.assemble.air.source import TunnelStudy, air_loads, air_source
from finial.assemble.air.tunnel_shape import shape_hash, tunnel_shape
from finial.assemble.air.tunnel_table import pairs_of, table_of, tunnel_beside
from finial.assemble.electronics.at_port import AtPort, tunnel_pressure
from finial.assemble.strength.forces import AirForces
from finial.assemble.vehicle.loading import LoadedVehicle, load_vehicle
from finial.core.errors import BuildSheetError
from finial.files.tunnel_runs import TunnelRun, tunnel_runs_text
from finial.shape.measures import radius_at, section_at

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "skerry-light"
BALANCE_M, PLACE_M, SLOPE, AXIAL = 0.65, 0.95, 7.0, 0.62
ANGLES_DEG, ROLLS_DEG = (0.0, 5.0, 10.0), (0.0, 45.0)
SECTION_SHARE = 0.01


def run_of(vehicle: LoadedVehicle, angle_deg: float, roll_deg: float, cells: float, **other) -> TunnelRun:
    angle, roll, width = math.radians(angle_deg), math.radians(roll_deg), vehicle.skin.width_m
    force = SLOPE * math.sin(angle) * (1.0 + 0.01 * roll_deg / 45.0) * (1.0 if cells > 12 else 0.97)
    told = {
        "key": f"{round(angle_deg * 1000 + roll_deg * 10 + cells):032x}",
        "shape": shape_hash(vehicle),
        "angle_rad": angle,
        "roll_rad": roll,
        "flight_reynolds": 1e6,
        "reynolds": 8e3,
        "cells": cells,
        "grids": 3,
        "travel_widths": 24.0,
        "area_m2": vehicle.skin.reference_area_m2,
        "width_m": width,
        "version": "1",
        "pressure": (AXIAL, force * math.cos(roll), force * math.sin(roll), 0.0, 0.0, 0.0),
        "pressure_error": (0.0,) * 6,
        "total": (1.0,) * 6,
        "total_error": (0.0,) * 6,
        "force": force,
        "force_error": 0.002,
        "aside": 0.001,
        "aside_error": 0.001,
        "axial_error": 0.001,
        "place_m": (PLACE_M if cells > 12 else PLACE_M + 0.01) if angle else None,
        "place_error_m": 0.002 if angle else None,
        "section_share": SECTION_SHARE,
        "wet_cells": 1000,
        "updates": 1e6,
        "restarts": 0,
        "seconds": 1.0,
        "stations_m": (0.0, 0.6, 1.2),
        "along": ((0.0, 0.0, 0.0), (0.0, force * math.cos(roll), force * math.sin(roll))),
    }
    return TunnelRun(**{**told, **other})


def runs_of(vehicle: LoadedVehicle, **other) -> list[TunnelRun]:
    winds = [(angle, roll) for angle in ANGLES_DEG for roll in (ROLLS_DEG if angle else (0.0,))]
    return [run_of(vehicle, *wind, cells, **other) for wind in winds for cells in (16.0, 16.0 / 1.5)]


@pytest.fixture
def project(tmp_path: Path, lighthouse) -> Callable[..., Path]:
    """Writes a sheet beside runs."""

    def written(runs: list[TunnelRun], more: str = "") -> Path:
        folder = tmp_path / "skerry-light"
        shutil.copytree(EXAMPLE, folder, ignore=shutil.ignore_patterns("*-tunnel"))
        sheet = folder / "skerry-light.toml"
        text = sheet.read_text(encoding="utf-8")
        sheet.write_text(f'{text}\n[air]\nstudy = "runs.json"\n{more}', encoding="utf-8")
        (folder / "runs.json").write_text(tunnel_runs_text("Skerry Light", runs), encoding="utf-8")
        return sheet

    return written


@pytest.fixture
def without_fins(monkeypatch: pytest.MonkeyPatch) -> None:
    """Judge the lighthouse as if nothing on it were a thin plate."""
    monkeypatch.setattr("finial.assemble.air.tunnel_table.has_fins", lambda own: False)


def test_with_fins_a_study_widens_and_moves_nothing(lighthouse, project) -> None:
    """The lattice does not settle what fins add, 0.6 to 1.4 of a measured body's: the sections stay."""
    runs = runs_of(lighthouse)
    vehicle = load_vehicle(project(runs), str)
    air, own = air_loads(vehicle, BALANCE_M), section_loads(vehicle, BALANCE_M, (0.0, 0.0))
    assert air.result.tunnel is not None
    assert air.result.tunnel.finned
    assert air.along is None
    at = int(np.argmin(np.abs(air.result.angles_rad - math.radians(10.0))))
    assert air.result.pressure_central_m[at] == pytest.approx(own.result.pressure_central_m[at], rel=1e-3)
    in_flight = int(np.argmin(np.abs(own.result.table.alpha_rad - math.radians(10.0))))
    for name in ("along", "axial_power_off"):
        flown, kept = (
            np.broadcast_to(getattr(one.result.table, name), own.result.table.along.shape)
            for one in (air, own)
        )
        assert np.abs(flown[in_flight, :, 0] / kept[in_flight, :, 0] - 1.0).max() < 5e-3
    given = table_of(tunnel_beside(runs, own, runs[0].shape, 1e6), own, 4)
    assert given is not None
    fore, middle, aft = given.place_m[:, -1, 0, 0]
    assert fore <= own.result.pressure_forward_m[at].max() < middle < aft
    ahead = [run.model_copy(update={"place_m": run.place_m and 0.3}) for run in runs]
    further = table_of(tunnel_beside(ahead, own, runs[0].shape, 1e6), own, 4)
    assert further is not None
    assert further.place_m[0, -1, 0, 0] == pytest.approx(0.3 - 0.06 * vehicle.skin.width_m, abs=0.02)
    assert further.place_m[1, -1, 0, 0] == middle


def test_a_study_of_this_shape_flies(lighthouse, project, without_fins) -> None:
    vehicle = load_vehicle(project(runs_of(lighthouse)), str)
    assert isinstance(air_source(vehicle), TunnelStudy)
    result = air_loads(vehicle, BALANCE_M).result
    assert result.tunnel is not None
    assert result.tunnel.state is StudyState.HOLDS
    assert result.source == "runs.json"
    at = int(np.argmin(np.abs(result.angles_rad - math.radians(10.0))))
    assert result.pressure_central_m[at] == pytest.approx(PLACE_M)
    # 10 mm between the grids and two errors of 2 mm, and the band's own floor of a tenth of a width.
    # The least force is 15 % less, and the moment that is off acts on it all the same.
    ahead = 0.014 / 0.85 + 0.1 * vehicle.skin.width_m
    assert result.pressure_forward_m[at].max() == pytest.approx(PLACE_M - ahead, abs=2e-3)
    table, own = result.table, section_loads(vehicle, BALANCE_M, (0.0, 0.0)).result.table
    in_flight = int(np.argmin(np.abs(table.alpha_rad - math.radians(10.0))))
    drag = AXIAL * math.cos(math.radians(10.0)) + SLOPE * math.sin(math.radians(10.0)) ** 2
    kept = 1.0 / (1.0 + 2.6 * drag * SECTION_SHARE)
    assert table.along[in_flight, 0, 0] == pytest.approx(SLOPE * kept, rel=1e-6)
    compressed = own.along[in_flight, 0, -1] / own.along[in_flight, 0, 0]
    assert abs(compressed - 1.0) > 0.02
    assert table.along[in_flight, 0, -1] == pytest.approx(SLOPE * kept * compressed, rel=1e-6)
    assert table.pitch_damping == pytest.approx(own.pitch_damping)
    friction = result.tunnel.friction
    assert friction is not None
    straight = AXIAL / (1.0 + 2.6 * AXIAL * SECTION_SHARE) + friction.value
    assert table.axial_power_off[0, 0, 0] == pytest.approx(straight, rel=1e-6)
    # What a Mach number does to the drag is the sections'.
    grown = own.axial_power_off[..., -1].ravel()[0] / own.axial_power_off[..., 0].ravel()[0]
    assert table.axial_power_off[0, 0, -1] == pytest.approx(straight * grown, rel=1e-6)


def test_the_body_bears_the_load_along_it(lighthouse, project, without_fins) -> None:
    runs = [
        run.model_copy(
            update={
                "stations_m": (0.0, 0.5, 1.25, 1.3),
                "along": (run.along[0], *[tuple(part / 2 for part in run.along[1])] * 2),
            }
        )
        for run in runs_of(lighthouse)
    ]
    vehicle = load_vehicle(project(runs), str)
    air = air_loads(vehicle, BALANCE_M)
    angle, pressure, area = math.radians(5.0), 1000.0, vehicle.skin.reference_area_m2
    lines = AirForces(vehicle=vehicle, air=air).all_at(pressure, angle)
    across = [each for each in lines if getattr(each, "cross_n_per_m", np.zeros(1)).any()]
    (line,) = across
    # The second slice carries it all, at the corners 1 % more than at the faces, and none behind the base.
    assert line.stations_m.tolist() == pytest.approx([0.0, 0.5, 0.5, vehicle.skin.length_m])
    kept = air.result.tunnel.rows[2].force.value / air.result.tunnel.rows[2].force_read
    whole = pressure * area * 1.01 * SLOPE * math.sin(angle) * kept
    assert np.trapezoid(line.cross_n_per_m, line.stations_m) == pytest.approx(whole, rel=1e-3)
    assert line.cross_n_per_m[0] == 0.0


def test_the_strongest_clear_swing_of_a_fine_grid_is_told(lighthouse, project) -> None:
    runs = [
        run.model_copy(update={"strouhal": 0.17 if run.cells > 12 else 0.3, "swing": 0.01 + run.roll_rad})
        for run in runs_of(lighthouse)
    ]
    swing = air_loads(load_vehicle(project(runs), str), BALANCE_M).swing
    assert swing is not None
    assert swing.strouhal == pytest.approx((0.17 - 1 / 24, 0.17, 0.17 + 1 / 24))
    assert swing.force == pytest.approx(0.01 + math.pi / 4, rel=0.05)


def test_corners_are_read_at_every_corner(lighthouse, project, without_fins) -> None:
    table = air_loads(load_vehicle(project(runs_of(lighthouse)), str), BALANCE_M).result.table
    at = int(np.argmin(np.abs(table.alpha_rad - math.radians(10.0))))
    faces, corners = (
        [int(np.argmin(np.abs(table.roll_rad - math.radians(first + 90.0 * turn)))) for turn in range(4)]
        for first in ROLLS_DEG
    )
    assert np.ptp(table.along[at, faces, 0]) < 1e-9
    assert np.ptp(table.along[at, corners, 0]) < 1e-9
    assert table.along[at, corners[0], 0] / table.along[at, faces[0], 0] == pytest.approx(1.01, rel=2e-3)


def test_a_study_of_another_shape_is_never_used(lighthouse, project) -> None:
    vehicle = load_vehicle(project(runs_of(lighthouse, shape="0" * 32)), str)
    result = air_loads(vehicle, BALANCE_M).result
    own = section_loads(vehicle, BALANCE_M, (0.0, 0.0)).result
    assert result.tunnel is not None
    assert result.tunnel.state is StudyState.OTHER_SHAPE
    assert result.source == ""
    assert result.pressure_central_m == pytest.approx(own.pressure_central_m)


def test_a_fin_that_moved_since_makes_it_another_shape(lighthouse, project) -> None:
    sheet = project(runs_of(lighthouse))
    text = sheet.read_text(encoding="utf-8")
    assert 'thickness = "6.5 mm"' in text
    sheet.write_text(text.replace('thickness = "6.5 mm"', 'thickness = "6.4 mm"'), encoding="utf-8")
    tunnel = air_loads(load_vehicle(sheet, str), BALANCE_M).result.tunnel
    assert tunnel is not None
    assert tunnel.state is StudyState.OTHER_SHAPE


@pytest.mark.parametrize(
    "left",
    [
        lambda run: run.cells > 12,
        lambda run: run.roll_rad == 0.0,
        lambda run: run.angle_rad == 0.0,
    ],
    ids=["one grid", "one roll", "no angle"],
)
def test_too_few_runs_make_no_table(lighthouse, project, left) -> None:
    result = air_loads(
        load_vehicle(project([run for run in runs_of(lighthouse) if left(run)]), str), BALANCE_M
    ).result
    assert result.tunnel is not None
    assert result.tunnel.state is StudyState.TOO_FEW
    assert result.source == ""


def test_a_grid_too_coarse_is_not_flown_with(lighthouse, project) -> None:
    for fine, flown in ((9.0, False), (10.5, True)):
        runs = [run.model_copy(update={"cells": run.cells * fine / 16.0}) for run in runs_of(lighthouse)]
        own = section_loads(lighthouse, BALANCE_M, (0.0, 0.0))
        given = table_of(tunnel_beside(runs, own, runs[0].shape, 1e6), own, 4)
        assert (given is not None) is flown


def test_forces_not_told_from_nothing_make_no_table(lighthouse, project) -> None:
    result = air_loads(load_vehicle(project(runs_of(lighthouse, force_error=5.0)), str), BALANCE_M).result
    assert result.tunnel is not None
    assert (result.tunnel.state, result.tunnel.left_out) == (StudyState.TOO_FEW, 4)


def test_without_a_run_from_ahead_the_drag_is_the_sections(lighthouse, project) -> None:
    runs = [run for run in runs_of(lighthouse) if run.angle_rad > 0.0]
    vehicle = load_vehicle(project(runs), str)
    table, own = (
        air_loads(vehicle, BALANCE_M).result.table,
        section_loads(vehicle, BALANCE_M, (0.0, 0.0)).result.table,
    )
    assert table.axial_power_off is own.axial_power_off
    assert not np.allclose(table.along, own.along)


def test_another_shape_leaves_the_table_that_the_sheet_names(lighthouse, project) -> None:
    sheet = project(runs_of(lighthouse, shape="0" * 32), 'table = "given.csv"\narea = "100 cm2"\n')
    heading = (
        "angle (deg), force (-), force_low (-), force_high (-), place (mm), place_low (mm), place_high (mm)"
    )
    sheet.with_name("given.csv").write_text(f"{heading}\n5, 1, 0.9, 1.1, 900, 880, 930\n", encoding="utf-8")
    result = air_loads(load_vehicle(sheet, str), BALANCE_M).result
    assert result.source == "given.csv"
    assert result.tunnel is not None
    assert result.tunnel.state is StudyState.OTHER_SHAPE


def test_the_finest_grid_is_taken_with_the_one_that_belongs_to_it(lighthouse) -> None:
    runs = [run_of(lighthouse, 5.0, 0.0, cells) for cells in (8.0, 12.0, 18.0, 24.0)]
    # 24 cells would need 16: 18 are no second grid of theirs.
    (pair,), alone = pairs_of(runs)
    assert (pair.fine.cells, pair.coarse.cells, alone) == (18.0, 12.0, 0)
    (pair,), _ = pairs_of([*runs, run_of(lighthouse, 5.0, 0.0, 16.0)])
    assert (pair.fine.cells, pair.coarse.cells) == (24.0, 16.0)
    assert pairs_of(runs[:1]) == ((), 1)


@pytest.mark.parametrize("how", [{"eddies": "vreman"}, {"conserving": True}])
def test_runs_of_two_methods_are_no_pair(lighthouse, how) -> None:
    fine, coarse = (run_of(lighthouse, 5.0, 0.0, cells) for cells in (12.0, 8.0))
    other = coarse.model_copy(update=how)
    assert pairs_of([fine, other]) == ((), 1)
    (pair,), _ = pairs_of([fine.model_copy(update=how), coarse, other])
    assert pair.coarse == other


def test_where_they_part_is_the_stretch_that_carries_the_difference(lighthouse) -> None:
    own = section_loads(lighthouse, BALANCE_M, (0.0, 0.0))
    # All of the force at the very tip: that is where the tunnel differs from the sections.
    runs = [
        run.model_copy(
            update={"place_m": 0.05, "stations_m": (0.0, 0.12, 1.2), "along": (run.along[1], run.along[0])}
        )
        for run in runs_of(lighthouse)
    ]
    beside = tunnel_beside(runs, own, runs[0].shape, 1e6)
    row = next(one for one in beside.rows if one.angle_rad > 0.0)
    assert not row.meets
    assert row.parts_most_m == pytest.approx((0.0, 0.12))
    given = table_of(beside, own, 4)
    assert given is not None
    assert np.isfinite(over_sine(given)).all()


@pytest.mark.parametrize("text", ["{", "[]", '{"finial": "1", "vehicle": "x", "runs": [{}]}', "[" * 100_000])
def test_what_is_no_study_is_a_fault_of_the_sheet(lighthouse, project, text) -> None:
    sheet = project(runs_of(lighthouse))
    sheet.with_name("runs.json").write_text(text, encoding="utf-8")
    with pytest.raises(BuildSheetError, match=r"runs\.json"):
        load_vehicle(sheet, str)


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("[air]\n", "neither a table nor a study"),
        ('[air]\ntable = "runs.csv"\n', "a table without its area"),
        ('[air]\nstudy = "runs.json"\narea = "1 cm2"\n', "an area without a table"),
        ('[air]\nstudy = "no.json"\n', "no.json"),
    ],
)
def test_air_from_nowhere_is_refused(lighthouse, project, entry, said) -> None:
    sheet = project(runs_of(lighthouse))
    text = sheet.read_text(encoding="utf-8").partition("[air]")[0]
    sheet.write_text(text + entry, encoding="utf-8")
    with pytest.raises(BuildSheetError, match=said):
        load_vehicle(sheet, str)


def test_the_shape_is_closed_and_fills_the_skin(lighthouse) -> None:
    shape = tunnel_shape(lighthouse)
    edges = np.concatenate([shape.triangles[:, pair] for pair in ([0, 1], [1, 2], [2, 0])])
    there, back = (np.unique(each, axis=0, return_counts=True) for each in (edges, edges[:, ::-1]))
    assert (there[0] == back[0]).all()
    assert (there[1] == back[1]).all()
    turns = _winding(
        shape,
        np.array([[0.6, 0.0, 0.0], [1.19, 0.03, 0.02], [0.6, 0.3, 0.0], [-0.05, 0.0, 0.0], [1.3, 0.0, 0.0]]),
    )
    assert (turns[:2] > 0.5).all()
    assert turns[2:] == pytest.approx(np.zeros(3), abs=1e-6)


def _winding(shape, places) -> np.ndarray:
    """Solid angle of all triangles over that of a sphere: van Oosterom and Strackee, 1983."""
    found = []
    for place in places:
        a, b, c = np.moveaxis(shape.points_m[shape.triangles] - place, 1, 0)
        la, lb, lc = (np.linalg.norm(each, axis=1) for each in (a, b, c))
        top = np.einsum("ij,ij->i", a, np.cross(b, c))
        below = la * lb * lc + (a * b).sum(1) * lc + (b * c).sum(1) * la + (c * a).sum(1) * lb
        found.append(2 * np.arctan2(top, below).sum() / (4 * np.pi))
    return np.array(found)


def test_the_hash_is_of_what_the_air_meets_and_not_of_where_it_was_cut(lighthouse) -> None:
    skin = lighthouse.skin
    fewer = replace(lighthouse, skin=replace(skin, sections=(*skin.sections[:3], *skin.sections[4:])))
    assert len(tunnel_shape(fewer).points_m) < len(tunnel_shape(lighthouse).points_m)
    assert shape_hash(fewer) == shape_hash(lighthouse)
    (fin,) = lighthouse.sheet.fin
    thicker = fin.model_copy(update={"thickness": replace(fin.thickness, value=fin.thickness.value + 1e-4)})
    other = replace(lighthouse, sheet=lighthouse.sheet.model_copy(update={"fin": (thicker,)}))
    assert shape_hash(other) != shape_hash(lighthouse)
    assert shape_hash(other, bare=True) == shape_hash(lighthouse, bare=True) != shape_hash(lighthouse)
    shorter = replace(lighthouse, parts=lighthouse.parts[:-1])
    assert shape_hash(shorter, bare=True) != shape_hash(lighthouse, bare=True)


def test_roots_of_fins_lie_inside_the_skin(lighthouse) -> None:
    whole, bare = (tunnel_shape(lighthouse, bare=bare).points_m for bare in (False, True))
    fins = whole[len(bare) :]
    (entry,) = lighthouse.sheet.fin
    roots = [
        station.value + entry.station.value for station, outward in entry.outline if outward.value == 0.0
    ]
    assert len(roots) == 2
    for root in roots:
        station = min(root, lighthouse.skin.length_m)
        there = fins[np.abs(fins[:, 0] - root) < 1e-9]
        skin_m = radius_at(section_at(lighthouse.skin, station), entry.first_at.value)
        assert np.hypot(*there[:, 1:].T).min() < skin_m - 0.5 * entry.thickness.value


def test_roll_0_is_body_y_and_the_tip_is_at_station_0(lighthouse) -> None:
    shape = tunnel_shape(lighthouse)
    (fin,) = lighthouse.sheet.fin
    low, high = shape.points_m.min(axis=0), shape.points_m.max(axis=0)
    assert low[0] == pytest.approx(0.0, abs=1e-9)
    tips = shape.points_m[np.hypot(*shape.points_m[:, 1:].T) > 0.99 * np.hypot(high[1], high[2])]
    rolls = {round(math.degrees(math.atan2(b, a)) % 90.0) for _, a, b in tips}
    assert rolls <= {round(math.degrees(fin.first_at.value)) % 90 + step for step in (-1, 0, 1)}


SURFACE = ((0.3, -0.1, 0.5), (-0.2, -0.22, -0.18), (-0.5, -0.6, -0.4), None)
STATIONS_M = (0.0, 0.3, 0.6, 0.9, 1.2)


def pressed(lighthouse, station_m: float, *runs: TunnelRun):
    files = replace(lighthouse.files, tunnel_runs=runs)
    return tunnel_pressure(replace(lighthouse, files=files), station_m)


def straight(lighthouse, cells: float = 16.0, **other) -> TunnelRun:
    told = {"surface": SURFACE, "stations_m": STATIONS_M, "along": ((0.0, 0.0, 0.0),) * 4}
    return run_of(lighthouse, 0.0, 0.0, cells, **{**told, **other})


def test_pressure_at_the_ports_is_that_of_the_surface_and_its_neighbours(lighthouse) -> None:
    run = straight(lighthouse)
    found = pressed(lighthouse, 0.45, run)
    assert (found.value, found.low, found.high) == (-0.2, -0.6, 0.5)
    # The last but one has a neighbour that nothing was read of, and a twentieth at least.
    found = pressed(lighthouse, 0.7, straight(lighthouse, surface=(None, None, (-0.5, -0.5, -0.5), None)))
    assert (found.value, found.low, found.high) == pytest.approx((-0.5, -0.55, -0.45))
    assert pressed(lighthouse, 1.0, run) is None


def test_only_straight_runs_of_this_shape_tell_it_and_the_finest_does(lighthouse) -> None:
    coarse = straight(lighthouse, 10.0, surface=((9.0, 9.0, 9.0),) * 4)
    assert pressed(lighthouse, 0.45, coarse, straight(lighthouse)).value == -0.2
    assert pressed(lighthouse, 0.45, straight(lighthouse, shape="f" * 32)) is None
    assert pressed(lighthouse, 0.45, run_of(lighthouse, 10.0, 0.0, 16.0, surface=SURFACE)) is None
    assert pressed(lighthouse, 0.45, run_of(lighthouse, 0.0, 0.0, 16.0)) is None
    assert pressed(lighthouse, 0.45) is None


def test_ports_read_by_the_tunnel_say_so_and_without_it_the_sections(lighthouse) -> None:
    (port,) = lighthouse.sheet.electronics.port
    blown = replace(lighthouse, files=replace(lighthouse.files, tunnel_runs=(straight(lighthouse),)))
    assert AtPort.of(blown, port).from_tunnel
    assert AtPort.of(blown, port).coefficient.value == -0.5
    assert not AtPort.of(lighthouse, port).from_tunnel
