"""Thin plates along the wind: which links meet them, where they hold the air, and what force that gives."""

import numpy as np
import pytest
import trimesh
from bench.tunnel.bodies import BODIES, THICKNESSES, body

from finial.tunnel.lattice import STEPS
from finial.tunnel.links import GridBox, cut_links
from finial.tunnel.plates import HELD_CELLS, LEAST_CELLS, THICK_CELLS, plates_of
from finial.tunnel.reading import in_wind
from finial.tunnel.records import Fineness, Stream, TunnelShape
from finial.tunnel.run import blow
from finial.tunnel.surface import walls_of

CELL = 0.05
AHEAD, ABOVE = Stream(angle_rad=0.0), Stream(angle_rad=np.pi / 2, roll_rad=np.pi / 2)


def laid(mesh, stream):
    """Links and walls of a mesh, in cells of 0.05 whose corners lie on its middle."""
    shape = TunnelShape(points_m=np.asarray(mesh.vertices, float), triangles=np.asarray(mesh.faces))
    half = np.ceil(np.abs(shape.points_m).max(axis=0) / CELL).astype(int) + 4
    low = tuple(((0.5 - half) * CELL).tolist())
    box = GridBox(origin_m=low, cell_m=CELL, counts=tuple((2 * half).tolist()))
    links = cut_links(shape, box)
    walls = walls_of(links, box, stream, speed=0.1, area_m2=1.0, width_m=1.0)
    smooth = np.zeros(len(links.cells), dtype=bool)
    return links, walls, plates_of(links, box, stream.towards, smooth)


def plate(thick_cells):
    """A plate one long and one wide, so many cells thick along b."""
    return trimesh.creation.box((1.0, 1.0, thick_cells * CELL))


def gliding(links, walls):
    """Share of the air's speed that each link's wall moves along with, where it has a way along it."""
    towards = STEPS[links.directions].astype(float)
    along = towards - np.einsum("lk,lk->l", towards, links.normals)[:, None] * links.normals
    size = np.linalg.norm(along, axis=1)
    weights = np.array([8 / 27, 2 / 27, 1 / 54, 1 / 216])[np.abs(towards).sum(axis=1).astype(int)]
    glide = np.linalg.norm(walls.glides.reshape(-1, 3), axis=1)
    return np.where(size > 0.1, glide / (6.0 * weights * np.maximum(size, 0.1)), np.nan)


@pytest.mark.parametrize("thick", [0.1, 1.2, THICK_CELLS - 0.6])
def test_both_sides_of_a_thin_plate_along_the_wind_are_told(thick):
    links, _, plates = laid(plate(thick), AHEAD)
    flat = links.outside & (np.abs(links.normals[:, 2]) > 0.9)
    amid = flat & (np.abs(walls_places(links)[:, :2]).max(axis=1) < 0.4)
    assert plates.sides[amid].all()
    assert not plates.sides[~flat].any()
    assert set(np.sign(links.normals[plates.sides, 2])) == {-1.0, 1.0}


def walls_places(links):
    """Places of links on a mesh about the origin [m]; the box is that of ``laid``."""
    # The first cell's middle lies half a cell off a corner that is a whole number of cells from the origin.
    counts = np.array([2 * (10 + 4), 2 * (10 + 4)])
    i, j = links.cells % counts[0], links.cells // counts[0] % counts[1]
    steps = STEPS[links.directions].astype(float)
    at = np.stack([i - 13.5, j - 13.5], axis=1) + links.shares[:, None] * steps[:, :2]
    return at * CELL


def test_a_body_a_plate_across_the_wind_and_a_tip_are_none():
    assert not laid(plate(THICK_CELLS + 1.6), AHEAD)[2].all.any()
    assert not laid(plate(1.2), ABOVE)[2].all.any()
    tip = trimesh.creation.cone(radius=0.2, height=1.0)
    tip.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, [0.0, 1.0, 0.0]))
    links, walls, _ = laid(tip, AHEAD)
    assert np.nanmax(gliding(links, walls)) == pytest.approx(0.9, abs=1e-3)


def test_a_plate_glides_whole_but_for_its_tail():
    links, walls, _ = laid(plate(1.2), AHEAD)
    glide, at = gliding(links, walls), walls.places_m[:, 0]
    sides = links.outside & (np.abs(links.normals[:, 2]) > 0.9) & np.isfinite(glide)
    held = 0.5 - (HELD_CELLS - 0.5) * CELL
    assert glide[sides & (at > held)] == pytest.approx(0.0)
    assert glide[sides & (at < 0.5 - (HELD_CELLS + 2.5) * CELL)] == pytest.approx(1.0, abs=1e-5)
    nose = links.outside & (links.normals[:, 0] < -0.9) & np.isfinite(glide)
    assert glide[nose] == pytest.approx(1.0, abs=1e-5)
    assert min((sides & (at > held)).sum(), nose.sum()) > 50


def test_a_plates_sides_stand_half_a_link_away():
    """Nearer or farther, a cell of its own would hold or lose air: the plate is as thick as its cells."""
    links, walls, plates = laid(plate(1.7), AHEAD)
    assert plates.sides.any()
    assert (walls.shares[plates.sides] == 0.5).all()
    assert (links.shares[plates.sides] != 0.5).any()


@pytest.mark.parametrize("name", sorted(THICKNESSES))
def test_bodies_are_drawn_with_plates_as_thick_as_a_lattice_bears(name):
    true, coarse, fine = (np.ptp(volume_of(body(name, cells))) for cells in (np.inf, 12.0, 200.0))
    assert coarse > true
    assert fine == pytest.approx(true)
    assert name in BODIES


def volume_of(one):
    """From nothing to the volume [width^3]."""
    a, b, c = (one.shape.points_m[one.shape.triangles[:, corner]] for corner in range(3))
    return np.array([0.0, np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0])


def test_a_plate_of_few_cells_carries_most_of_its_force_ahead_of_its_middle():
    """A wing of span 2 at 6 degrees: slope 2.6 a radian (Helmbold, from memory), centre near a quarter.

    Without a tail that holds its air it carries half of that, and the centre leaves the plate.
    """
    blown = blow(
        body("plate", 9.0).shape,
        Stream(angle_rad=np.radians(6.0)),
        Fineness(cells=9.0, grids=2, side_widths=2.0, settle_widths=4.0, travel_widths=4.0),
        area_m2=2.0,
        width_m=1.0,
    )
    read = in_wind(blown, Stream(angle_rad=np.radians(6.0)), 1.0)
    assert 0.75 * 0.272 < read.force.value < 1.15 * 0.272
    assert read.place is not None
    assert 0.1 < read.place.value < 0.3


def test_what_is_thinner_than_a_lattice_bears_has_no_cell_inside():
    """Cells' middles lie half a cell either side of a plate in the middle between them."""
    assert LEAST_CELLS > 1.0
    links, _, _ = laid(plate(LEAST_CELLS), AHEAD)
    assert not links.outside.all()
