"""Fins drawn into the mesh fly like the same fins given in the sheet."""

import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from shapely.geometry import Polygon

from finial.aero.body import body_air
from finial.aero.drag.plates import fin_rows
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import ellipse, tapered_skin
from finial.assemble.air.source import air_loads
from finial.assemble.air.wires import wire_parts
from finial.assemble.vehicle.fins import all_fins, fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle, load_vehicle
from finial.shape.fin_edges import edge_bluntness
from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "buoy-tiers"
# Trimesh tells few types.
MESHES: Any = trimesh
OUTLINE_MM = [(0.0, 0.0), (90.0, 110.0), (180.0, 110.0), (180.0, 0.0)]
PART = """
[[part]]
name = "post"
mesh = "post.stl"
mesh_unit = "mm"
material = "PETG"
weighed = "2 kg"
"""
FINS = """
[[fin]]
name = "fins"
outline = [["0 mm", "0 mm"], ["90 mm", "110 mm"], ["180 mm", "110 mm"], ["180 mm", "0 mm"]]
station = "800 mm"
count = 4
first_at = "0 deg"
thickness = "5 mm"
material = "PETG"
"""


def post(with_fins: bool, thick_mm: float = 5.0) -> Any:
    """Square post, 100 mm across and 1 m tall, fins on its faces from 0.8 m aft of the tip."""
    pieces = [MESHES.creation.box((100.0, 100.0, 1000.0))]
    pieces[0].apply_translation((0, 0, 500.0))
    for roll in np.radians([0.0, 90.0, 180.0, 270.0]) if with_fins else ():
        reach = [(aft, out + (48.0 if out == 0.0 else 50.0)) for aft, out in OUTLINE_MM]
        plate = MESHES.creation.extrude_polygon(Polygon([*reach[:1], (0.0, 50.0), *reach[1:]]), thick_mm)
        aft, out, across = plate.vertices.T - np.array([[0.0], [0.0], [thick_mm / 2]])
        turned = np.column_stack(
            [
                out * np.cos(roll) - across * np.sin(roll),
                out * np.sin(roll) + across * np.cos(roll),
                200.0 - aft,
            ]
        )
        pieces.append(MESHES.Trimesh(turned, plate.faces[:, ::-1], process=False))
    return MESHES.util.concatenate(pieces)


def shaped(thick_mm: float, tip_mm: float, edge_mm: float, roll_rad: float) -> Any:
    """Fin that is thickest amid its chord, over root and tip and at its edges as thick as told."""
    corners: list[tuple[float, float, float]] = []
    for out, fore, thick in ((44.0, 0.0, thick_mm), (160.0, 90.0, tip_mm)):
        edge = min(edge_mm, thick)
        for along, half in ((fore, edge / 2), ((fore + 180.0) / 2, thick / 2), (180.0, edge / 2)):
            corners += [(200.0 - along, out, -half), (200.0 - along, out, half)]
    fin = MESHES.convex.convex_hull(np.array(corners)[:, [1, 2, 0]])
    return fin.apply_transform(MESHES.transformations.rotation_matrix(roll_rad, (0, 0, 1)))


def loaded_with(folder: Path, fin_mm: tuple[float, float, float]) -> LoadedVehicle:
    """Round post, 100 mm across, with four such fins."""
    folder.mkdir()
    tube = MESHES.creation.cylinder(50.0, 1000.0, sections=64).apply_translation((0, 0, 500.0))
    fins = [shaped(*fin_mm, float(roll)) for roll in np.radians([0.0, 90.0, 180.0, 270.0])]
    return loaded(folder, True, mesh=MESHES.util.concatenate([tube, *fins]))


def loaded(
    folder: Path,
    with_fins: bool,
    fins: str = "",
    thick_mm: float = 5.0,
    mesh: Any = None,
) -> LoadedVehicle:
    for name in ("motors", "site.toml"):
        source = EXAMPLE / name
        copy = shutil.copytree if source.is_dir() else shutil.copy
        copy(source, folder / name)
    (mesh or post(with_fins, thick_mm)).export(folder / "post.stl")
    sheet = folder / "post.toml"
    buoy = (EXAMPLE / "buoy-tiers.toml").read_text(encoding="utf-8")
    # The buoy's day, motor and recovery; its parts and fins give way to the post.
    tables = re.split(r"\n(?=\[)", buoy)
    kept = [table for table in tables if not table.startswith(("[[part]]", "[[fin]]"))]
    # What the buoy's own print holds, nothing holds here.
    text = re.sub(r"(?m)^held_by = .*$", "", "\n".join([*kept, PART, fins]))
    sheet.write_text(text, encoding="utf-8")
    return load_vehicle(sheet, lambda _: None)


def test_fins_of_the_mesh_lift_like_those_of_the_sheet(tmp_path: Path) -> None:
    (tmp_path / "drawn").mkdir()
    (tmp_path / "given").mkdir()
    drawn, given = loaded(tmp_path / "drawn", True), loaded(tmp_path / "given", False, FINS)
    assert fin_sets(drawn) == ()
    assert [fin.count for fin in all_fins(drawn)] == [4]
    (one,), (other,) = (fin_air(vehicle.body, all_fins(vehicle)) for vehicle in (drawn, given))
    assert one.slope_per_rad == pytest.approx(other.slope_per_rad, rel=0.03, abs=0.01)
    assert one.centre_m == pytest.approx(other.centre_m, abs=0.004)
    assert drawn.skin.width_m == pytest.approx(given.skin.width_m, rel=0.005)
    assert any("4 fins found in the mesh" in note for note in drawn.skin.notes)


def test_fins_in_the_mesh_and_in_the_sheet_count_once(tmp_path: Path) -> None:
    both = loaded(tmp_path, True, FINS)
    assert both.mesh_fins == ()
    assert [fin.name for fin in all_fins(both)] == ["fins"]
    assert any("count once" in note for note in both.skin.notes)


def test_fins_too_thick_to_tell_from_the_body_are_not_passed_over_in_silence(tmp_path: Path) -> None:
    thick = loaded(tmp_path, True, thick_mm=16.0)
    assert [fin.count for fin in all_fins(thick)] == [4]
    assert any("4 parts that stand out like fins, up to 16 mm thick" in note for note in thick.skin.notes)
    # A tenth of the width is 11.3 mm, 0.235 of it 26.5.
    assert thick.thick is not None
    assert thick.thick.share == pytest.approx((16.0 / 112.84 - 0.10) / 0.135, abs=0.01)
    assert thick.thick.fins == ()
    assert thick.thick.body.reference_area_m2 > 1.6 * thick.body.reference_area_m2


def test_thicker_and_thicker_fins_move_the_band_a_little_at_a_time(tmp_path: Path) -> None:
    """From 11 to 12 mm, where they used to become body, the forward end moved by 28 mm."""
    ends: list[list[float]] = []
    for thick_mm in (8.0, 11.0, 12.0, 14.0, 18.0, 22.0, 26.0, 28.0, 29.0):
        (folder := tmp_path / str(thick_mm)).mkdir()
        air = air_loads(loaded(folder, True, thick_mm=thick_mm), 0.5).result
        ends.append([thick_mm, air.pressure_forward_m[0].min(), air.pressure_aft_m[0].max()])
    table = np.array(ends)
    forward, aft = np.abs(np.diff(table[:, 1:], axis=0)).T
    assert np.all(forward < 0.007 * np.diff(table[:, 0]))
    assert np.all(aft < 0.012 * np.diff(table[:, 0]))
    # As body they lose less to the bubble of the flat front than they do as fins.
    assert table[-1, 1] > table[0, 1] + 0.005


@pytest.mark.parametrize(
    ("tip_share", "edge_mm", "most_mm"), [(1.0, 1.0, 24.0), (0.5, 100.0, 28.0), (1.0, 100.0, 25.0)],
    ids=["wedges", "thin tips", "plates"],
)  # fmt: skip
def test_fins_that_get_thicker_amid_their_chord_or_at_their_root_are_one_set_each(
    tmp_path: Path, tip_share: float, edge_mm: float, most_mm: float
) -> None:
    """Their thin edges or tips became fins of their own at a tenth of the width: 50 and 13 mm, or a crash.

    Where they end as body, from 23 mm on, the band moved by 17.
    """
    ends: list[list[float]] = []
    for thick_mm in np.array([9.0, 10.0, 11.0, most_mm - 1.0, most_mm]):
        vehicle = loaded_with(tmp_path / str(thick_mm), (thick_mm, tip_share * thick_mm, edge_mm))
        assert thick_mm > 20.0 or [fin.count for fin in all_fins(vehicle)] == [4]
        air = air_loads(vehicle, 0.5).result
        ends.append([thick_mm, air.pressure_forward_m[0].min(), air.pressure_aft_m[0].max()])
    table = np.array(ends)
    forward, aft = np.abs(np.diff(table[:, 1:], axis=0)).T
    assert np.all(forward < 0.008 * np.diff(table[:, 0]))
    assert np.all(aft < 0.016 * np.diff(table[:, 0]))


def test_plates_that_count_as_both_have_the_loads_between(tmp_path: Path) -> None:
    half = loaded(tmp_path, True, thick_mm=20.0)
    assert half.thick is not None
    mixed = air_loads(half, 0.5)
    fins_alone = air_loads(replace(half, thick=None), 0.5)
    body_alone = air_loads(replace(half, body=half.thick.body, mesh_fins=(), thick=None), 0.5)
    share, ratio = half.thick.share, half.thick.body.reference_area_m2 / half.body.reference_area_m2
    expected = (1 - share) * fins_alone.result.table.along + share * ratio * body_alone.result.table.along
    assert mixed.result.table.along == pytest.approx(expected, rel=1e-9)
    # The same force and moment, whatever they stand on.
    slope = (1 - share) * fins_alone.result.slope_per_rad.value
    slope += share * ratio * body_alone.result.slope_per_rad.value
    assert mixed.result.slope_per_rad.value == pytest.approx(slope, rel=0.01)
    low, high = sorted(float(each.result.pressure_forward_m[0, 0]) for each in (fins_alone, body_alone))
    assert low < mixed.result.pressure_forward_m[0, 0] < high


@pytest.mark.parametrize(
    ("chamfer_mm", "lead", "drag"), [(0.0, 1.0, 0.72), (2.5, 0.5, 0.36), (8.0, 0.089, 0.064)]
)
def test_drawn_fins_have_the_edges_that_are_drawn(
    tmp_path: Path, chamfer_mm: float, lead: float, drag: float
) -> None:
    """A wedge as long as half the fin's thickness turns by 45 degrees; the squared sine of that is a half."""
    fin = wedged_fin(chamfer_mm)
    found = edge_bluntness(fin[0], [fin[1]])
    assert found is not None
    assert found.lead == pytest.approx(lead, abs=0.01)
    assert found.trail == pytest.approx(1.0, abs=0.01)
    plate = FinSet(
        name="drawn", outline_m=fin[0].outline_m, station_m=0.8, root_radius_m=0.05, count=4,
        first_at_rad=0.0, thickness_m=0.005, square_edges=lead > 0.4,
        lead_blunt=found.lead, trail_blunt=found.trail,
    )  # fmt: skip
    tube = body_air(tapered_skin(lambda d: ellipse(d / 2, d / 2), [(0.0, 0.1), (1.0, 0.1)]))
    _, edges = fin_rows(fin_air(tube, [plate])[0], tube.reference_area_m2, 0.0, 7e6)
    frontal = 4 * 0.005 * 0.1 / tube.reference_area_m2
    assert edges.coefficient.value == pytest.approx((drag + 0.12) * frontal, rel=0.03)


def test_a_trailing_edge_that_runs_out_thin_has_no_base() -> None:
    turned = wedged_fin(8.0, trail_mm=16.0)
    found = edge_bluntness(turned[0], [turned[1]])
    assert found is not None
    assert found.trail < 0.03


def wedged_fin(chamfer_mm: float, trail_mm: float = 0.0) -> tuple[FinSet, Mesh]:
    """Rectangular fin 5 mm thick, 100 mm square, whose leading edge is a wedge so long."""
    half, chord, lead, trail = 2.5e-3, 0.1, 1e-3 * chamfer_mm, 1e-3 * trail_mm
    profile = [(0.0, -half), (0.0, half)] if not lead else [(0.0, 0.0), (lead, half)]
    profile += [(chord - trail, half)] if trail else [(chord, half), (chord, -half)]
    profile += [(chord, 0.0), (chord - trail, -half)] if trail else []
    profile += [(lead, -half)] if lead else []
    solid = MESHES.creation.extrude_polygon(Polygon(profile), 0.1)
    along, across, out = solid.vertices.T
    mesh = Mesh(vertices_m=np.column_stack([-0.8 - along, 0.05 + out, across]), faces=solid.faces)
    outline = np.array([[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]])
    fin = FinSet(
        name="", outline_m=outline, station_m=0.8, root_radius_m=0.05, first_at_rad=0.0, count=1,
        thickness_m=0.005,
    )  # fmt: skip
    return fin, mesh


def test_thick_fins_that_the_sheet_gives_come_off_the_body_too(tmp_path: Path) -> None:
    both = loaded(tmp_path, True, FINS, thick_mm=16.0)
    assert [fin.name for fin in all_fins(both)] == ["fins"]
    # Without the body the four would add two thirds; their first slices leave no film.
    assert both.skin.reference_area_m2 == pytest.approx(0.01, rel=0.004)


def test_a_mesh_without_fins_says_nothing_of_fins(tmp_path: Path) -> None:
    plain = loaded(tmp_path, False)
    assert all_fins(plain) == ()
    assert not any("fin" in note for note in plain.skin.notes)


def test_wires_round_the_fins_drag_on_their_own_area(tmp_path: Path) -> None:
    """Four wires of 1 mm between fin points 0.11 m out from a 0.05 m root: sqrt(2) 0.16 m each."""
    where = 'along = "90 mm", outward = "110 mm"'
    stay = f'{{ diameter = "1 mm", {where}, preload = "20 N", to = "next fin" }}'
    braced = loaded(tmp_path, False, f"{FINS}stays = [{stay}]\n")
    (part,) = wire_parts(braced)
    assert part.frontal_area_m2 == pytest.approx(4 * 0.001 * np.sqrt(2.0) * 0.16, rel=1e-3)
    assert part.drag_coefficient is not None
    assert part.drag_coefficient.value == pytest.approx(1.1)
    rows = {row.subject: row.coefficient.value for row in air_loads(braced, 0.5).result.drag_rows}
    area = braced.skin.reference_area_m2
    assert rows[part.name] == pytest.approx(1.1 * part.frontal_area_m2 / area)
