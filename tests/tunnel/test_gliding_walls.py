"""Walls that glide and what presses on them: against Ladd's moving wall, and one pressure all round."""

from types import SimpleNamespace

import numpy as np
import pytest
import trimesh

from finial.tunnel.kernel_text import card_text
from finial.tunnel.lattice import STEPS, WEIGHTS
from finial.tunnel.links import GridBox, Links, cut_links
from finial.tunnel.records import Stream, TunnelShape
from finial.tunnel.setup import equilibrium
from finial.tunnel.surface import NEAR, pressures_at, walls_of
from finial.tunnel.written import processor_kernels

DOWN = np.flatnonzero(STEPS[:, 2] == -1)
"""Directions that lead from a cell into a floor below it."""
BOX = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(3, 3, 3))
MIDDLE = 13
AHEAD = Stream(angle_rad=0.0)


def floor(share=0.5, *, outside=True):
    """Links of one cell over a flat floor."""
    count = len(DOWN)
    return Links(
        cells=np.full(count, MIDDLE),
        directions=DOWN,
        shares=np.full(count, share, np.float32),
        normals=np.tile(np.array([0, 0, 1], np.float32), (count, 1)),
        outside=np.full(count, outside),
    )


def turned_back(links, velocity):
    """What leaves along each link of wind that is alike everywhere, and what comes back."""
    walls = walls_of(links, BOX, AHEAD, speed=0.1, area_m2=1.0, width_m=1.0)
    air = np.repeat(equilibrium(np.array(velocity)), 27).astype(np.float32)
    bounced, exchange = (np.zeros(len(links.cells), np.float32) for _ in range(2))
    given = walls.directions, walls.opposites, walls.steps, walls.shares, walls.glides, walls.portions
    kernel = processor_kernels()["bounce"]
    kernel(air, 27, walls.owners, walls.starts, *given, bounced, exchange, 0, len(walls.owners))
    return air.reshape(27, 27)[links.directions, MIDDLE], bounced


def taken(links, velocity):
    """Momentum along x that the wall takes, over that which a wall that holds its air would take."""
    out, back = turned_back(links, velocity)
    along = STEPS[links.directions, 0]
    return float(along @ (out + back)) / float(along @ (2.0 * out))


@pytest.mark.parametrize("share", [0.25, 0.5, 0.75])
def test_a_gliding_wall_takes_a_tenth_of_what_one_that_holds_its_air_takes(share):
    """A wall that moves with the air leaves it alone (Ladd 1994: back = out - 6 w u.c): from memory.

    Beyond half a link part of what comes back is mixed in (Bouzidi 2001): there the wall acts on the rest.
    """
    assert taken(floor(share), (0.05, 0.0, 0.0)) == pytest.approx(0.1 * min(1.0, 0.5 / share), abs=0.003)


def test_a_wall_glides_along_itself_alone():
    links, walls = laid_in_cells(trimesh.creation.icosphere(4, radius=0.5), 0.1)
    glides = walls.glides.reshape(-1, 3)
    assert np.abs(np.einsum("lk,lk->l", glides, links.normals)).max() < 1e-6
    assert np.abs(glides).max() > 0.1


def test_wind_square_to_a_wall_is_turned_back_whole():
    links = floor()
    out, back = turned_back(links, (0.0, 0.0, -0.05))
    straight = turned_back(floor(outside=False), (0.0, 0.0, -0.05))[1]
    assert back == pytest.approx(straight, abs=1e-7)
    assert np.abs(out).max() > 1e-3


def test_a_wall_within_a_tenth_of_a_link_glides_less_down_to_nothing():
    glides = [
        np.abs(walls_of(floor(share), BOX, AHEAD, speed=0.1, area_m2=1.0, width_m=1.0).glides).sum()
        for share in (0.5, NEAR, NEAR / 2, 1e-6)
    ]
    assert np.array(glides) / glides[0] == pytest.approx([1.0, 1.0, 0.5, 0.0], abs=1e-4)


def test_walls_of_air_inside_hold_it():
    assert not walls_of(floor(outside=False), BOX, AHEAD, speed=0.1, area_m2=1.0, width_m=1.0).glides.any()
    assert taken(floor(outside=False), (0.05, 0.0, 0.0)) == pytest.approx(1.0)


def laid_in_cells(mesh, cell_m):
    """A mesh amid a box some cells larger."""
    shape = TunnelShape(points_m=np.asarray(mesh.vertices, float), triangles=np.asarray(mesh.faces))
    low = shape.points_m.min(axis=0) - 2.7 * cell_m
    counts = np.ceil((shape.points_m.max(axis=0) - low) / cell_m).astype(int) + 4
    box = GridBox(origin_m=tuple(low.tolist()), cell_m=cell_m, counts=tuple(counts.tolist()))
    links = cut_links(shape, box)
    return links, walls_of(links, box, AHEAD, speed=0.1, area_m2=1.0, width_m=1.0)


def gliding(links, walls):
    """Whether each link glides; those straight at a wall have nothing to glide along."""
    moves = np.abs(walls.glides.reshape(-1, 3)).max(axis=1) > 1e-6
    towards = STEPS[links.directions].astype(float)
    across = towards - np.einsum("lk,lk->l", towards, links.normals)[:, None] * links.normals
    return moves, links.outside & (np.abs(across).max(axis=1) > 0.1) & (walls.shares > 0.01)


def test_flat_faces_glide_and_the_cells_at_edges_do_not():
    links, walls = laid_in_cells(trimesh.creation.box((1.0, 1.0, 1.0)), 0.1)
    moves, could = gliding(links, walls)
    away = np.sort(np.abs(walls.places_m), axis=1)[:, 1]
    assert moves[could & (away < 0.27)].all()
    assert not moves[could & (away > 0.45)].any()
    assert (could & (away < 0.27)).sum() > 100
    assert (could & (away > 0.45)).sum() > 100


def test_a_thin_plate_glides_on_both_sides_up_to_its_rim():
    links, walls = laid_in_cells(trimesh.creation.box((0.004, 1.0, 1.0)), 0.1)
    moves, could = gliding(links, walls)
    on_faces = (
        could & (np.abs(links.normals[:, 0]) > 0.99) & (np.abs(walls.places_m[:, 1:]).max(axis=1) < 0.3)
    )
    assert moves[on_faces].all()
    assert set(np.sign(links.normals[on_faces, 0])) == {-1.0, 1.0}


@pytest.mark.parametrize(("sides", "smooth"), [(24, True), (6, False)])
def test_a_wall_that_bends_little_is_smooth_and_one_that_bends_much_is_an_edge(sides, smooth):
    """Two faces alike that meet at an angle have (1 + cos) / 2 along one line: 0.95 at 26 degrees."""
    bar = trimesh.creation.cylinder(radius=1.0, height=3.0, sections=sides)
    links, walls = laid_in_cells(bar, 0.1)
    moves, could = gliding(links, walls)
    round_it = could & (np.abs(walls.places_m[:, 2]) < 1.0)
    assert moves[round_it].all() == smooth
    assert moves[round_it].mean() > 0.3


@pytest.mark.parametrize(
    "mesh",
    [
        trimesh.creation.cone(radius=0.5, height=1.3),
        trimesh.creation.box((1.0, 0.7, 0.004)),
        trimesh.creation.icosphere(3, radius=0.5),
    ],
)
def test_one_pressure_all_round_presses_a_closed_shape_nowhere(mesh):
    """The integral of the normal over a closed surface is nothing, that of its moment too (Gauss)."""
    turn = trimesh.transformations.rotation_matrix(0.4, [1.0, 2.0, 0.5])
    mesh = mesh.copy()
    mesh.apply_transform(turn)
    links, walls = laid_in_cells(mesh, 0.09)
    still = 2.0 * np.array(WEIGHTS)[walls.directions]
    pressed = (still[:, None] * walls.weights[:, :6])[links.outside]
    assert pressed.sum(axis=0) == pytest.approx(np.zeros(6), abs=1e-8 * np.abs(pressed).sum())
    assert np.abs(pressed).sum() > 1.0
    # Read one link for another, one pressure is one pressure wherever its wall stands.
    assert pressures_at(walls, 0.01 * still) == pytest.approx(0.01 * walls.to_pressure)


def test_a_card_bounces_as_a_processor_does():
    """The card's own text, one thread after another on this processor."""
    links, walls = laid_in_cells(trimesh.creation.box((0.5, 0.4, 0.3)), 0.1)
    cells = int(links.cells.max()) + 200
    air = np.random.default_rng(3).normal(0.0, 0.01, 27 * cells).astype(np.float32)
    given = walls.directions, walls.opposites, walls.steps, walls.shares, walls.glides, walls.portions
    bounced, one, gone, back, other = (np.zeros(len(links.cells), np.float32) for _ in range(5))
    air_too, count = air.copy(), len(walls.owners)
    kernels = processor_kernels()
    kernels["bounce"](air, cells, walls.owners, walls.starts, *given, bounced, one, 0, count)
    kernels["scatter"](air, cells, walls.cells, walls.opposites, walls.steps, bounced, 0, len(walls.cells))
    thread = [0]
    names = {"cuda": SimpleNamespace(grid=lambda _: thread[0]), "F": np.float32, "U": int}
    exec("\n".join(line for line in card_text().splitlines() if "import" not in line), names)
    *links_of, portions = given
    owners = np.repeat(np.arange(count), np.diff(walls.starts))
    belong = walls.cells, owners, walls.starts, walls.opposites, walls.steps, portions
    calls = (("bounce", (walls.cells, *links_of, gone, back)), ("scatter", (*belong, gone, back, other)))
    for name, asked in calls:
        for thread[0] in range(len(links.cells) + 2):
            names[name](air_too, cells, *asked, 0, len(links.cells))
    assert air_too == pytest.approx(air, abs=1e-7)
    assert other == pytest.approx(one, abs=1e-7)
    assert np.abs(bounced).max() > 0.01
