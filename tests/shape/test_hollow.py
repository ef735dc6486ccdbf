"""Bodies made hollow: cavities and walls by hand, and what has no room."""

import manifold3d
import numpy as np
import pytest
import trimesh

from finial.core.errors import OutsideRange
from finial.shape.hollow import hollowed


def meshed(solid) -> trimesh.Trimesh:
    told = solid.to_mesh64()
    return trimesh.Trimesh(np.asarray(told.vert_properties)[:, :3], np.asarray(told.tri_verts), process=False)


def test_a_cube_keeps_its_walls_and_loses_the_cube_within() -> None:
    """40 mm less twice 3 mm: a cavity of 34 mm, its walls by the distances from the six faces."""
    cube = manifold3d.Manifold.cube((0.04, 0.04, 0.04))
    made = hollowed(cube, 0.003)
    assert made.cavity_m3 == pytest.approx(0.034**3, rel=5e-3)
    assert made.cavities == 1
    assert made.solid.volume() == pytest.approx(0.04**3 - made.cavity_m3, rel=1e-9)
    whole = meshed(made.solid)
    assert whole.is_watertight
    inner = [one for one in whole.split(only_watertight=False) if one.volume < 0.0]
    assert len(inner) == 1
    walls = np.minimum(inner[0].vertices, 0.04 - inner[0].vertices).min(axis=1)
    assert walls.min() > 0.92 * 0.003
    assert np.median(walls) == pytest.approx(0.003, rel=0.01)
    assert (made.thinnest_m, made.middle_m) == pytest.approx((walls.min(), np.median(walls)), rel=0.02)


def test_a_ball_keeps_its_walls_all_round() -> None:
    ball = manifold3d.Manifold.sphere(0.02, 64)
    assert hollowed(ball, 0.004).cavity_m3 == pytest.approx(ball.volume() * (16 / 20) ** 3, rel=0.02)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_a_tall_box_is_hollow_whichever_way_it_lies(axis, monkeypatch) -> None:
    """12 x 14 x 40 mm, walls of 2 mm; the library crashes on large grids that are longest aside."""
    grids: list[list[float]] = []
    drawn = manifold3d.Manifold.level_set

    def told(depth, bounds, *rest):
        grids.append(bounds)
        return drawn(depth, bounds, *rest)

    monkeypatch.setattr(manifold3d.Manifold, "level_set", told)
    sides = np.roll([0.04, 0.012, 0.014], axis)
    low = np.array([0.01, -0.02, 0.03])
    made = hollowed(manifold3d.Manifold.cube(sides.tolist()).translate(low.tolist()), 0.002)
    assert np.ptp(np.reshape(grids[0], (2, 3)), axis=0).argmax() == 0
    assert made.cavity_m3 == pytest.approx(0.036 * 0.008 * 0.010, rel=0.01)
    (void,) = [one for one in meshed(made.solid).split(only_watertight=False) if one.volume < 0.0]
    assert void.bounds == pytest.approx(np.array([low + 0.002, low + sides - 0.002]), abs=1e-4)


def test_a_neck_that_is_too_thin_parts_the_cavity() -> None:
    """Two cubes of 20 mm on a neck of 4 mm: with walls of 3 mm two cavities."""
    neck = manifold3d.Manifold.cube((0.06, 0.004, 0.004)).translate((0.0, 0.008, 0.008))
    ends = [manifold3d.Manifold.cube((0.02, 0.02, 0.02)).translate((x, 0.0, 0.0)) for x in (0.0, 0.04)]
    assert hollowed(ends[0] + ends[1] + neck, 0.003).cavities == 2


@pytest.mark.parametrize(
    ("wall_m", "said"), [(0.0, "wall_m"), (0.011, "no room for a cavity"), (0.00005, "too thin for a body")]
)
def test_walls_that_cannot_be_are_refused(wall_m, said) -> None:
    with pytest.raises(OutsideRange, match=said):
        hollowed(manifold3d.Manifold.cube((0.02, 0.02, 0.02)), wall_m)
