"""Fins of one mesh with the body: found, measured, taken off; loud when odd, silent when none."""

import numpy as np
import pytest
import trimesh
from shapely.geometry import Polygon, box

from finial.shape.fin_split import split_fins
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin
from finial.shape.thin_parts import bare_plates, thin_parts

OUTLINE = [(0.80, 0.04), (0.80, 0.05), (0.89, 0.16), (0.98, 0.16), (0.98, 0.04)]
"""Aft of the tip, distance from the axis: a swept fin with its root inside the body."""
SWEPT = [(0.80, 0.04), (0.80, 0.05), (1.05, 0.16), (1.12, 0.16), (0.98, 0.05), (0.98, 0.04)]
POINT = [(0.90, 0.0502), (0.80, 0.06), (0.80, 0.16), (0.98, 0.16), (0.98, 0.06)]


def tower(sides: int = 64) -> trimesh.Trimesh:
    """Prism one metre long, 0.1 m across, tip at x = 0, a flat towards y."""
    post = trimesh.creation.cylinder(0.05 / np.cos(np.pi / sides), 1.0, sections=sides)
    turn = trimesh.transformations.rotation_matrix(np.pi / 2, [0, 1, 0])
    flat = trimesh.transformations.rotation_matrix(np.pi / sides, [0, 0, 1])
    post.apply_transform(turn @ flat)
    post.apply_translation((-0.5, 0, 0))
    return post


def fin(roll_rad: float, thickness_m: float = 0.005, outline=OUTLINE) -> trimesh.Trimesh:
    plate = trimesh.creation.extrude_polygon(Polygon(outline), thickness_m)
    aft, out, across = plate.vertices.T
    across = across - thickness_m / 2
    cosine, sine = np.cos(roll_rad), np.sin(roll_rad)
    turned = np.column_stack([-aft, out * cosine - across * sine, out * sine + across * cosine])
    return trimesh.Trimesh(turned, plate.faces, process=False)


def mesh_of(*pieces: trimesh.Trimesh) -> Mesh:
    whole = trimesh.util.concatenate(list(pieces))
    return Mesh(vertices_m=whole.vertices, faces=whole.faces)


def rolls(count: int, first_deg: float = 0.0) -> np.ndarray:
    return np.radians(first_deg + 360.0 * np.arange(count) / count)


@pytest.mark.parametrize("thickness_m", [0.002, 0.005, 0.008])
@pytest.mark.parametrize(("sides", "first_deg"), [(4, 0.0), (4, 45.0), (64, 17.0)])
def test_four_fins_are_found_measured_and_taken_off(sides: int, first_deg: float, thickness_m: float) -> None:
    body = slice_skin([mesh_of(tower(sides))])
    whole = slice_skin([mesh_of(tower(sides), *(fin(r, thickness_m) for r in rolls(4, first_deg)))])
    split = split_fins(whole)
    (found,) = split.fins
    assert found.count == 4
    assert np.degrees(found.first_at_rad) % 90.0 == pytest.approx(first_deg % 90.0, abs=0.5)
    assert found.thickness_m == pytest.approx(thickness_m, rel=0.05)
    skin_m = 0.05 * np.sqrt(2.0) if first_deg == 45.0 else 0.05
    shown = Polygon(OUTLINE).intersection(box(0.0, skin_m, 2.0, 1.0))
    assert found.station_m == pytest.approx(shown.bounds[0], abs=0.006)
    assert found.root_radius_m + found.outline_m[:, 1].max() == pytest.approx(0.16, abs=0.002)
    assert found.root_radius_m == pytest.approx(skin_m, abs=thickness_m)
    inside = (skin_m - found.root_radius_m) * 0.17
    assert Polygon(found.outline_m).area - inside == pytest.approx(shown.area, rel=0.03)
    assert split.body.areas_m2 == pytest.approx(
        np.full(len(split.body.areas_m2), body.reference_area_m2), rel=0.03
    )
    assert split.body.width_m == pytest.approx(body.width_m, rel=0.01)
    assert "4 fins found in the mesh" in split.notes[0]


def test_a_body_without_fins_is_left_as_it_was() -> None:
    whole = slice_skin([mesh_of(tower(4))])
    split = split_fins(whole)
    assert split.body is whole
    assert (split.fins, split.notes) == ((), ())


def test_rods_and_rings_stay_in_the_body() -> None:
    rod = trimesh.creation.box((1.0, 0.006, 0.006))
    rod.apply_translation((-0.5, 0.08, 0.0))
    ring = trimesh.creation.annulus(0.09, 0.095, 0.1)
    ring.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, [0, 1, 0]))
    ring.apply_translation((-0.8, 0, 0))
    assert split_fins(slice_skin([mesh_of(tower(4), rod, ring)])).fins == ()


def test_fins_unevenly_spaced_are_single_ones() -> None:
    split = split_fins(slice_skin([mesh_of(tower(), *(fin(r) for r in np.radians([0.0, 90.0, 180.0])))]))
    assert [one.count for one in split.fins] == [1, 1, 1]
    assert [round(np.degrees(one.first_at_rad)) % 360 for one in split.fins] == [0, 90, 180]


def test_blades_behind_the_base_are_fins_and_the_body_ends_at_its_base() -> None:
    split = split_fins(slice_skin([mesh_of(tower(), *(fin(r, 0.004, SWEPT) for r in rolls(3)))]))
    assert split.fins[0].count == 3
    assert split.body.stations_m[-1] == pytest.approx(1.0, abs=1e-3)
    # The last slices show blades too short to tell from rods: the tip loses its trailing corner.
    assert split.fins[0].station_m + split.fins[0].outline_m[:, 0].max() == pytest.approx(1.115, abs=0.012)


def test_fins_that_touch_at_a_point_are_named() -> None:
    away = [(aft, out + 0.02) for aft, out in POINT]
    split = split_fins(slice_skin([mesh_of(tower(), *(fin(r, 0.004, away) for r in rolls(4)))]))
    assert split.fins[0].count == 4
    assert not split.touching[0]
    assert "touching the body at a point at most" in split.notes[0]
    assert split_fins(slice_skin([mesh_of(tower(), *(fin(r, 0.004, POINT) for r in rolls(4)))])).touching[0]


@pytest.mark.parametrize("both_sides", [False, True])
def test_fins_without_thickness_are_found_in_the_raw_cuts(both_sides: bool) -> None:
    corners = np.array(OUTLINE)
    pieces = [tower()]
    for roll in rolls(4):
        flat = np.column_stack([-corners[:, 0], corners[:, 1] * np.cos(roll), corners[:, 1] * np.sin(roll)])
        faces = np.array([[0, 1, 2], [0, 2, 3], [0, 3, 4]])
        pieces.append(trimesh.Trimesh(flat, faces, process=False))
        if both_sides:
            pieces.append(trimesh.Trimesh(flat, faces[:, ::-1], process=False))
    mended = repaired(mesh_of(*pieces))
    skin = slice_skin([mended])
    assert split_fins(skin).fins == ()
    split = split_fins(skin, bare_plates([mended.mesh], skin.sections))
    assert split.fins[0].count == 4
    assert split.fins[0].thickness_m == 0.0
    assert "without thickness" in split.notes[0]


def test_a_plate_along_the_skin_is_no_fin() -> None:
    """Standing out by 80 degrees from the radius: a visor, not a fin."""
    skin = slice_skin([mesh_of(tower(4), fin(0.0, 0.003, [(0.2, 0.0), (0.2, 0.2), (0.6, 0.2), (0.6, 0.0)]))])
    section = min(skin.sections, key=lambda each: abs(each.station_m - 0.4))
    (part,) = thin_parts(section, 0.01)
    assert part.tip_m == pytest.approx(0.2, abs=1e-3)
    turned = np.array([[0.0, 1.0], [-1.0, 0.0]])
    aside = type(section)(
        station_m=0.4,
        loops=tuple(loop @ turned + np.array([0.3, 0.0]) for loop in section.loops),
        area_m2=section.area_m2,
        perimeter_m=section.perimeter_m,
        centroid_m=(0.3, 0.0),
    )
    assert thin_parts(aside, 0.01) == []


def bowed(bow_m: float, thickness_m: float = 0.005) -> trimesh.Trimesh:
    """A fin 180 mm long whose middle stands off its plane by a parabola of that height."""
    plate = trimesh.creation.box((0.18, 0.12, thickness_m))
    for _ in range(4):
        plate = plate.subdivide()
    aft, out, across = plate.vertices.T
    across = across + bow_m * (1.0 - (aft / 0.09) ** 2)
    return trimesh.Trimesh(np.column_stack([-(aft + 0.89), out + 0.1, across]), plate.faces, process=False)


@pytest.mark.parametrize(("bow_in_thicknesses", "fins"), [(0.0, 1), (1.0, 1), (1.35, 0)])
def test_a_plate_bent_out_of_its_plane_is_an_ear_and_no_fin(bow_in_thicknesses: float, fins: int) -> None:
    """Slices of a parabola of height a stray by 0.30 a from the best line; a third of a thickness passes."""
    split = split_fins(slice_skin([mesh_of(tower(), bowed(0.005 * bow_in_thicknesses))]))
    assert len(split.fins) == fins


@pytest.mark.parametrize(("roll_deg", "reach"), [(0.0, 0.08), (90.0, 0.06), (200.0, 0.07)])
def test_a_line_without_thickness_is_measured_along_its_own_roll_angle(roll_deg: float, reach: float) -> None:
    roll = np.radians(roll_deg)
    outward = np.array([np.cos(roll), np.sin(roll)])
    ends = np.array([[-0.8, 0.02], [-0.8, 0.05 + reach], [-0.98, 0.05 + reach], [-0.98, 0.02]])
    flat = np.column_stack([ends[:, 0], ends[:, 1:] * outward])
    plate = Mesh(vertices_m=flat, faces=np.array([[0, 1, 2], [0, 2, 3]]))
    body = mesh_of(tower())
    skin = slice_skin([body])
    parts = bare_plates([plate], skin.sections)
    assert len(parts) >= 5
    for part in parts:
        assert part.roll_rad == pytest.approx(roll % (2 * np.pi), abs=1e-6)
        assert part.tip_m == pytest.approx(0.05 + reach, abs=1e-6)
        assert part.root_m == pytest.approx(0.05, abs=1e-3)
        assert part.touches
        assert part.is_plate
