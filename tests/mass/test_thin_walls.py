"""Walls that meet: mullions, spires and corners, by hand."""

import math

import numpy as np
import pytest
import trimesh

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
    assert mass(part) == pytest.approx(rods + beams, rel=0.08)
    assert counted_twice(part) > 1.2 * (rods + beams)


def test_a_spire_weighs_what_a_printer_lays_down() -> None:
    # A cone of 10 mm radius and 200 mm less the cone drawn in by the wall, filled by a tenth.
    part = repaired(tiers_mesh([Tier(sides=0, across_m=0.02, across_top_m=0.0, height_m=0.2)]))
    volume = math.pi * 0.01**2 * 0.2 / 3
    core = volume * (1 - 0.0016 / 0.01) ** 3
    by_hand = (volume - 0.9 * core) * DENSITY
    assert mass(part) == pytest.approx(by_hand, rel=0.05)
    assert counted_twice(part) > 1.1 * by_hand


def test_a_post_counts_its_corners_once() -> None:
    post = repaired(tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)]))
    assert wall_share(post, 0.002) == pytest.approx(1.0 - 0.002 / 0.1, abs=1e-6)
    assert wall_share(post, 0.05) == pytest.approx(0.5, abs=1e-6)


def test_a_tube_drawn_with_walls_thinner_than_two_is_as_full_as_it_is_drawn() -> None:
    tube = trimesh.creation.annulus(r_min=0.048, r_max=0.05, height=0.3, sections=96)
    points = np.column_stack([tube.vertices[:, 2], tube.vertices[:, 0], tube.vertices[:, 1]])
    part = repaired(Mesh(vertices_m=points, faces=tube.faces))
    assert wall_share(part, 0.0016) == pytest.approx(0.002 / 0.0032, rel=0.01)


def test_a_wall_of_nothing_is_refused() -> None:
    with pytest.raises(OutsideRange):
        wall_share(window(), 0.0)


def test_one_part_is_cut_once_however_often_its_weight_moves(monkeypatch) -> None:
    from finial.mass import thin_walls

    part = window()
    first = wall_share(part, 0.0016)
    monkeypatch.setattr(thin_walls, "cuts", None)
    assert wall_share(part, 0.0016) == first
