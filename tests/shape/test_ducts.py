"""Rings that the air flows through come off the body; cavities that it cannot reach stay full."""

import numpy as np
import pytest
import trimesh

from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin

RADIUS, RING, WALL, CHORD = 0.05, 0.125, 0.004, 0.09


def up(*pieces: trimesh.Trimesh) -> Mesh:
    whole = trimesh.util.concatenate(list(pieces))
    turned = np.column_stack([whole.vertices[:, 2], whole.vertices[:, 0], whole.vertices[:, 1]])
    turned[:, 0] -= turned[:, 0].max()
    return Mesh(vertices_m=turned, faces=whole.faces)


def cylinder(radius: float, low: float, high: float, inner: float = 0.0) -> trimesh.Trimesh:
    height = high - low
    made = (
        trimesh.creation.annulus(inner, radius, height, sections=64)
        if inner
        else trimesh.creation.cylinder(radius, height, sections=64)
    )
    made.apply_translation([0, 0, (low + high) / 2])
    return made


def body() -> list[trimesh.Trimesh]:
    nose = trimesh.creation.cone(RADIUS, 0.2, sections=64)
    nose.apply_translation([0, 0, 0.8])
    return [cylinder(RADIUS, 0.0, 0.8), nose]


def struts(count: int, low: float, high: float) -> list[trimesh.Trimesh]:
    made = []
    for number in range(count):
        box = trimesh.creation.box((RING - 0.045 - WALL / 2, 0.004, high - low))
        box.apply_translation([(RING + 0.045 - WALL / 2) / 2, 0, (low + high) / 2])
        box.apply_transform(trimesh.transformations.rotation_matrix(2 * np.pi * number / count, [0, 0, 1]))
        made.append(box)
    return made


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4, 8])
@pytest.mark.parametrize("low", [0.0, 0.02, 0.3])
def test_a_ring_fin_does_not_fill_the_body_out(count: int, low: float) -> None:
    ring = cylinder(RING, low, low + CHORD, RING - WALL)
    skin = slice_skin([up(*body(), ring, *struts(count, low + 0.01, low + CHORD - 0.01))])
    # It was filled solid: 490 cm2 in place of 78.
    assert skin.reference_area_m2 == pytest.approx(np.pi * RADIUS**2, rel=5e-3)
    (found,) = skin.rings
    assert found.station_m == pytest.approx(1.0 - low - CHORD, abs=1e-3)
    assert found.chord_m == pytest.approx(CHORD, abs=1e-3)
    assert found.outer_m2 == pytest.approx(np.pi * RING**2, rel=5e-3)
    assert found.inside_m2 == pytest.approx(np.pi * RADIUS**2, rel=0.02)
    wall = np.pi * (RING**2 - (RING - WALL) ** 2)
    assert found.wall_m2 == pytest.approx(wall + count * 0.004 * (RING - WALL - RADIUS), rel=0.06)
    assert found.open_m2 == pytest.approx(found.outer_m2 - found.inside_m2 - found.wall_m2, rel=0.01)
    around = 2 * np.pi * (2 * RING - WALL) + count * 2 * (RING - WALL - RADIUS)
    assert found.wetted_m2 == pytest.approx(around * CHORD, rel=0.05)
    assert any("open at both ends" in note for note in skin.notes)


def test_the_body_inside_is_as_it_is_without_the_ring() -> None:
    ring = cylinder(RING, 0.02, 0.11, RING - WALL)
    plain, ringed = slice_skin([up(*body())]), slice_skin([up(*body(), ring, *struts(4, 0.03, 0.1))])
    assert ringed.volume_m3 == pytest.approx(plain.volume_m3, rel=5e-3)
    assert ringed.length_m == plain.length_m


def test_a_ring_closed_by_a_floor_stays_full() -> None:
    ring, floor = cylinder(RING, 0.02, 0.11, RING - WALL), cylinder(RING, 0.015, 0.025)
    skin = slice_skin([up(*body(), ring, floor)])
    assert skin.rings == ()
    assert skin.reference_area_m2 == pytest.approx(np.pi * RING**2, rel=5e-3)


def test_a_hollow_body_is_full_whether_its_base_is_open_or_not() -> None:
    shell = cylinder(RADIUS, 0.0, 0.8, RADIUS - 0.002)
    cap = cylinder(RADIUS, 0.79, 0.81)
    tube = cylinder(0.02, 0.0, 0.4, 0.018)
    skin = slice_skin([up(shell, cap, tube)])
    assert skin.rings == ()
    assert not any("both ends" in note for note in skin.notes)
    assert skin.volume_m3 == pytest.approx(np.pi * RADIUS**2 * 0.81, rel=5e-3)


def test_a_hull_open_at_both_ends_is_a_duct_and_says_so() -> None:
    skin = slice_skin([up(cylinder(RADIUS, 0.0, 0.8, RADIUS - 0.002))])
    (duct,) = skin.rings
    assert duct.within
    assert duct.station_m == pytest.approx(0.0, abs=1e-3)
    assert duct.chord_m == pytest.approx(0.8, rel=1e-3)
    assert duct.open_m2 == pytest.approx(np.pi * (RADIUS - 0.002) ** 2, rel=5e-3)
    assert duct.wetted_m2 == pytest.approx(2 * np.pi * (RADIUS - 0.002) * 0.8, rel=5e-3)
    assert skin.reference_area_m2 == pytest.approx(np.pi * RADIUS**2, rel=5e-3)
    assert any("both ends open" in note for note in skin.notes)


def test_a_duct_lets_through_what_its_narrowest_place_does() -> None:
    wide, narrow = cylinder(RADIUS, 0.0, 0.5, RADIUS - 0.002), cylinder(RADIUS, 0.5, 0.8, RADIUS / 2)
    (duct,) = slice_skin([up(wide, narrow)]).rings
    assert duct.open_m2 == pytest.approx(np.pi * (RADIUS / 2) ** 2, rel=1e-2)


def test_bores_for_rods_are_not_ducts() -> None:
    bored = trimesh.creation.annulus(0.004, RADIUS, 0.8, sections=64)
    skin = slice_skin([up(bored)])
    assert skin.rings == ()
    assert not any("both ends" in note for note in skin.notes)


def test_frames_of_a_lattice_do_not_fill_it() -> None:
    """Four legs and three square frames: between the legs there is nothing."""
    legs = []
    for side in ((-1, -1), (-1, 1), (1, -1), (1, 1)):
        leg = trimesh.creation.box((0.01, 0.01, 0.6))
        leg.apply_translation([0.075 * side[0], 0.075 * side[1], 0.3])
        legs.append(leg)
    frames = []
    for height in (0.15, 0.3, 0.45):
        for turn in range(4):
            bar = trimesh.creation.box((0.16, 0.01, 0.01))
            bar.apply_translation([0, 0.075, height])
            bar.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2 * turn, [0, 0, 1]))
            frames.append(bar)
    roof = trimesh.creation.box((0.16, 0.16, 0.1))
    roof.apply_translation([0, 0, 0.65])
    skin = slice_skin([up(*legs, *frames, roof)])
    at_frames = [section.area_m2 for section in skin.sections if 0.2 < section.station_m < 0.65]
    assert max(at_frames) == pytest.approx(4 * 0.01**2, rel=0.05)
    assert len(skin.rings) == 3


@pytest.mark.parametrize(("share", "rings"), [(0.30, 1), (0.40, 0)])
def test_a_duct_longer_than_a_third_of_the_length_and_a_little_is_no_ring(share: float, rings: int) -> None:
    ring = cylinder(RING, 0.02, 0.02 + share, RING - WALL)
    skin = slice_skin([up(*body(), ring, *struts(4, 0.03, share))])
    assert sum(not ring.within for ring in skin.rings) == rings
