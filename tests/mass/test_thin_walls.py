"""Walls that meet: mullions, lattices, spires and corners, by hand."""

import math

import numpy as np
import pytest
import trimesh
from scipy.ndimage import distance_transform_edt

from finial.core.errors import OutsideRange
from finial.core.estimates import exact
from finial.mass.printed import printed_part
from finial.mass.solids import solid_of
from finial.mass.thin_walls import wall_share
from finial.printing.walls import PrintedWalls
from finial.shape.mesh import Mesh
from finial.shape.repair import Repaired, repaired
from finial.shape.tiers import Tier, tiers_mesh

DENSITY = 1000.0
WALLS = PrintedWalls(wall_m=0.0016, infill=0.1)


def mass(part: Repaired) -> float:
    share = wall_share(part, WALLS.wall_m)
    return printed_part(solid_of(part), exact(DENSITY), WALLS, share).mass.value


def counted_twice(part: Repaired) -> float:
    """Mass by surface times wall alone."""
    return printed_part(solid_of(part), exact(DENSITY), WALLS).mass.value


def window() -> Repaired:
    """A sill and a lintel of 100 x 20 mm with eight mullions of 5 x 5 mm and 300 mm between them."""
    boxes = [((0.02, 0.1, 0.02), 0.01, 0.0), ((0.02, 0.1, 0.02), 0.33, 0.0)]
    boxes += [((0.3, 0.005, 0.005), 0.17, place) for place in np.linspace(-0.045, 0.045, 8)]
    made = []
    for size, station, across in boxes:
        box = trimesh.creation.box(size)
        box.apply_translation((-station, across, 0.0))
        made.append(box)
    whole = trimesh.boolean.union(made, engine="manifold")
    return repaired(Mesh(vertices_m=whole.vertices, faces=whole.faces))


def test_mullions_weigh_what_a_printer_lays_down() -> None:
    # A mullion of 5 mm has a core of 1.8 mm, filled by a tenth: 22.1 of its 25 mm2, by hand.
    rods = 8 * 0.3 * (25.0 - 0.9 * 1.8**2) * 1e-6 * DENSITY
    inside = 0.1 - 2 * 0.0016, 0.02 - 2 * 0.0016, 0.02 - 2 * 0.0016
    beams = 2 * (0.1 * 0.02 * 0.02 - 0.9 * math.prod(inside)) * DENSITY
    part = window()
    assert mass(part) == pytest.approx(rods + beams, rel=0.015)
    assert counted_twice(part) > 1.2 * (rods + beams)


def test_a_spire_weighs_what_a_printer_lays_down() -> None:
    # A cone of 10 mm radius and 200 mm less the cone drawn in by the wall, filled by a tenth: the
    # ball that touches its side and its base has the radius by which it would vanish.
    part = repaired(tiers_mesh([Tier(sides=0, across_m=0.02, across_top_m=0.0, height_m=0.2)]))
    volume = math.pi * 0.01**2 * 0.2 / 3
    core = volume * (1 - 0.0016 * (math.hypot(0.01, 0.2) + 0.01) / (0.01 * 0.2)) ** 3
    by_hand = (volume - 0.9 * core) * DENSITY
    assert mass(part) == pytest.approx(by_hand, rel=0.015)
    assert counted_twice(part) > 1.1 * by_hand


def test_a_post_counts_its_corners_once() -> None:
    post = repaired(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    # A box drawn in by its walls on all six sides, by hand.
    core = (0.1 - 2 * 0.002) ** 2 * (1.0 - 2 * 0.002)
    assert wall_share(post, 0.002) == pytest.approx((0.01 - core) / (0.42 * 0.002), rel=0.006)
    assert wall_share(post, 0.05) == pytest.approx(0.01 / (0.42 * 0.05), rel=0.02)


def test_a_tube_drawn_with_walls_thinner_than_two_is_as_full_as_it_is_drawn() -> None:
    tube = trimesh.creation.annulus(r_min=0.048, r_max=0.05, height=0.3, sections=96)
    points = np.column_stack([tube.vertices[:, 2], tube.vertices[:, 0], tube.vertices[:, 1]])
    part = repaired(Mesh(vertices_m=points, faces=tube.faces))
    assert wall_share(part, 0.0016) == pytest.approx(0.002 / 0.0032, rel=0.01)


def turned(part: Repaired, axis: int) -> Repaired:
    """The same with its axes exchanged in turn."""
    return repaired(Mesh(vertices_m=np.roll(part.mesh.vertices_m, axis, axis=1), faces=part.mesh.faces))


def test_bars_weigh_alike_whichever_way_they_run() -> None:
    # As above: 22.1 of the 25 mm2 of a mullion of 5 mm are laid. Cut across one axis alone, those along the
    # other two came out as plates, 14 % too heavy.
    masses = [mass(turned(window(), axis)) for axis in range(3)]
    rods = 8 * 0.3 * (25.0 - 0.9 * 1.8**2) * 1e-6 * DENSITY
    beams = 2 * (0.1 * 0.02 * 0.02 - 0.9 * 0.0968 * 0.0168**2) * DENSITY
    assert masses == pytest.approx([rods + beams] * 3, rel=0.015)


def crossed_bars(thick: float, apart: float) -> Repaired:
    """Twelve bars, four along each axis, through one another at eight crossings."""
    made = []
    for axis in range(3):
        for first in (-apart / 2, apart / 2):
            for second in (-apart / 2, apart / 2):
                size, middle = np.full(3, thick), np.roll([0.0, first, second], axis)
                size[axis] = 2 * apart
                box = trimesh.creation.box(size)
                box.apply_translation(middle)
                made.append(box)
    whole = trimesh.boolean.union(made, engine="manifold")
    return repaired(Mesh(vertices_m=whole.vertices, faces=whole.faces))


@pytest.mark.parametrize("wall_m", [0.00075, 0.0015, 0.00225])
def test_a_lattice_is_laid_as_its_grains_near_the_surface_are_counted(wall_m: float) -> None:
    # Independent: grains of 0.25 mm, and how far each is from air.
    part, grain = crossed_bars(0.005, 0.03), 0.00025
    middles = (np.arange(240) + 0.5) * grain - 0.03
    barred = (np.abs(np.abs(middles) - 0.015) < 0.0025).astype(np.int64)
    solid = barred[:, None, None] + barred[:, None] + barred >= 2
    deep = distance_transform_edt(np.pad(solid, 1))[1:-1, 1:-1, 1:-1] * grain - grain / 2
    laid = np.count_nonzero(solid & (deep <= wall_m)) * grain**3
    surface = float(trimesh.Trimesh(part.mesh.vertices_m, part.mesh.faces).area)
    assert wall_share(part, wall_m) * surface * wall_m == pytest.approx(laid, rel=0.03)


def test_a_bar_that_stands_aslant_weighs_what_an_upright_one_does() -> None:
    straight = trimesh.creation.box((0.3, 0.005, 0.005))
    shares = []
    for angle in (0.0, 0.3, 0.8):
        bar = straight.copy()
        bar.apply_transform(trimesh.transformations.rotation_matrix(angle, (0.3, 1.0, 0.2)))
        shares.append(wall_share(repaired(Mesh(vertices_m=bar.vertices, faces=bar.faces)), 0.0016))
    by_hand = (25.0 * 300 - 1.8**2 * 296.8) / ((4 * 5 * 300 + 50) * 1.6)
    assert shares == pytest.approx([by_hand] * 3, rel=0.01)


def test_a_rounding_of_many_faces_is_laid_as_a_round_one() -> None:
    # A ring of the wall's thickness inside a disc, by hand; both ends have caps.
    rod = repaired(tiers_mesh([Tier(sides=0, across_m=0.01, across_top_m=0.01, height_m=0.2)]))
    surface = math.pi * 0.01 * 0.2 + math.pi / 2 * 0.01**2
    laid = math.pi / 4 * (0.01**2 * 0.2 - 0.0068**2 * 0.1968)
    assert wall_share(rod, 0.0016) * surface * 0.0016 == pytest.approx(laid, rel=0.01)


def test_a_wall_of_nothing_is_refused() -> None:
    with pytest.raises(OutsideRange):
        wall_share(window(), 0.0)


def test_one_part_is_cut_once_however_often_its_weight_moves(monkeypatch) -> None:
    from finial.mass import thin_walls

    part = window()
    first = wall_share(part, 0.0016)
    monkeypatch.setattr(thin_walls, "united", None)
    assert wall_share(part, 0.0016) == first
