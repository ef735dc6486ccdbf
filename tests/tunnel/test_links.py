"""Cut pieces against the equations of sphere, box and plane, and against a full sum of solid angles."""

import numpy as np
import pytest
import trimesh

from finial.core.errors import OutsideRange
from finial.tunnel.cutting.crossings import HALF
from finial.tunnel.cutting.faces import all_crossings
from finial.tunnel.cutting.seal import Seals
from finial.tunnel.lattice import OPPOSITE, STEPS
from finial.tunnel.links import GridBox, Links, _with_seals, cut_links, inside_by
from finial.tunnel.records import TunnelShape

CELL_M = 0.1


def shape_of(mesh, turn=None, shift=(0.0, 0.0, 0.0)):
    """A trimesh's triangles, turned and moved."""
    points = np.asarray(mesh.vertices, dtype=float)
    points = points if turn is None else points @ turn.T
    return TunnelShape(points_m=points + shift, triangles=np.asarray(mesh.faces, dtype=np.int64))


def box_round(shape, cell_m, spare=3):
    """A box of cells round a shape, some cells larger."""
    low = shape.points_m.min(axis=0) - spare * cell_m
    counts = np.ceil((shape.points_m.max(axis=0) - low) / cell_m).astype(int) + spare
    return GridBox(origin_m=tuple(low.tolist()), cell_m=cell_m, counts=tuple(counts.tolist()))


def centres(box):
    """Centres of all cells [m], shape (k, j, i, 3)."""
    axes = [box.origin_m[axis] + box.cell_m * np.arange(box.counts[axis]) for axis in range(3)]
    k, j, i = np.meshgrid(axes[2], axes[1], axes[0], indexing="ij")
    return np.stack([i, j, k], axis=-1)


def reached(links: Links, box, start):
    """Cells that uncut pieces lead to from a start, all 26 directions, shape (k, j, i)."""
    counts = box.counts
    cut = np.zeros((27, counts[2] * counts[1] * counts[0]), dtype=bool)
    cut[links.directions, links.cells] = True
    cut = cut.reshape(27, counts[2], counts[1], counts[0])
    seen = np.zeros(cut.shape[1:], dtype=bool)
    seen[start] = True
    before = 0
    while seen.sum() != before:
        before = seen.sum()
        for way in range(1, 27):
            here = tuple(_here(step, n) for step, n in zip(STEPS[way][::-1], seen.shape, strict=True))
            there = tuple(_here(-step, n) for step, n in zip(STEPS[way][::-1], seen.shape, strict=True))
            seen[there] |= seen[here] & ~cut[way][here]
    return seen


def _here(step, size):
    return slice(max(0, -step), size - max(0, step))


@pytest.fixture(params=range(6))
def turn_and_shift(request):
    """A rotation and a move, by a seed."""
    draw = np.random.default_rng(request.param)
    turn, _ = np.linalg.qr(draw.normal(size=(3, 3)))
    return turn * np.sign(np.linalg.det(turn)), draw.uniform(-1.0, 1.0, 3)


def starts(links, box):
    """Where each link starts [m]."""
    return centres(box).reshape(-1, 3)[links.cells]


def test_a_ball_is_cut_where_its_equation_says():
    shape = shape_of(trimesh.creation.icosphere(5, radius=1.0))
    box = box_round(shape, CELL_M)
    links = cut_links(shape, box)
    start = starts(links, box)
    step = STEPS[links.directions] * CELL_M
    a, b = (step**2).sum(axis=1), (start * step).sum(axis=1)
    c = (start**2).sum(axis=1) - 1.0
    root = np.sqrt(np.clip(b * b - a * c, 0.0, None))
    exact = np.where(links.outside, -b - root, -b + root) / a
    # Facets lie 0.0005 m inside the ball; lines that graze it see more of that.
    steep = np.abs((links.normals * step).sum(axis=1)) > 0.3 * np.sqrt(a)
    assert steep.mean() > 0.6
    assert np.abs(links.shares - exact)[steep].max() < 0.03
    assert (links.outside == (c > 0))[np.abs(c) > 0.005].all()
    assert np.abs(links.normals - (start + links.shares[:, None] * step)).max() < 0.06


def test_every_piece_from_the_air_into_a_ball_is_cut(turn_and_shift):
    turn, shift = turn_and_shift
    shape = shape_of(trimesh.creation.icosphere(4, radius=1.0), turn, shift)
    box = box_round(shape, CELL_M)
    links = cut_links(shape, box)
    far = np.linalg.norm(centres(box) - shift, axis=-1)
    flood = reached(links, box, (0, 0, 0))
    assert not flood[far < 0.995].any()
    assert flood[far > 1.001].all()
    inside = inside_by(cut_links(shape, box), box.counts)
    assert inside[far < 0.995].all()
    assert not inside[far > 1.001].any()


def test_a_turned_box_is_sealed_and_the_air_round_it_is_not(turn_and_shift):
    turn, shift = turn_and_shift
    sides = np.array([1.7, 0.8, 0.6])
    shape = shape_of(trimesh.creation.box(sides), turn, shift)
    box = box_round(shape, CELL_M)
    links = cut_links(shape, box)
    deep = (0.5 * sides - np.abs((centres(box) - shift) @ turn)).min(axis=-1)
    flood = reached(links, box, (0, 0, 0))
    assert not flood[deep > 1e-3].any()
    assert flood[deep < -1e-3].all()


@pytest.mark.parametrize("offset", [0.0, 0.03, 0.05])
def test_a_box_on_the_lattice_is_sealed_wherever_its_faces_lie(offset):
    shape = shape_of(trimesh.creation.box((1.0, 1.0, 1.0)))
    box = GridBox(origin_m=(-0.8 + offset,) * 3, cell_m=CELL_M, counts=(17, 17, 17))
    links = cut_links(shape, box)
    most = np.abs(centres(box)).max(axis=-1)
    flood = reached(links, box, (0, 0, 0))
    assert not flood[most < 0.499].any()
    assert flood[most > 0.501].all()
    assert (links.shares > 0).all()
    assert (links.shares <= 1).all()
    # Cells on a face are inside on all six sides alike.
    inside = inside_by(cut_links(shape, box), box.counts)
    on_faces = np.abs(most - 0.5) < 1e-9
    assert inside[on_faces].all()
    if offset == 0.0:
        assert on_faces.sum() == 11**3 - 9**3
        assert (inside == inside[::-1]).all()


def test_no_line_slips_through_a_sheet_however_it_is_turned(turn_and_shift):
    turn, shift = turn_and_shift
    points = np.array([[0, -9, -9], [0, 9, -9], [0, 9, 9], [0, -9, 9], [0, 0.1, 0.2]]) @ turn.T + shift
    fan = np.array([[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]])
    shape = TunnelShape(points_m=points, triangles=fan)
    box = GridBox(origin_m=tuple((shift - 1.0).tolist()), cell_m=CELL_M, counts=(20, 20, 20))
    links = cut_links(shape, box)
    side = (centres(box) - shift) @ turn[:, 0]
    flood = reached(links, box, np.unravel_index(np.argmin(side), side.shape))
    assert flood[side < -1e-3].all()
    assert not flood[side > 1e-3].any()
    assert links.outside.all()


def test_a_line_through_a_seam_crosses_the_sheet():
    # Lattice points lie on the diagonal and on the rim of the square, all exactly.
    corners = np.array([[0.5, 0.0, 0.0], [0.5, 4.0, 0.0], [0.5, 4.0, 4.0], [0.5, 0.0, 4.0]])
    found, _, _ = all_crossings(corners, np.array([[0, 1, 2], [0, 2, 3]]), (2, 6, 6))
    straight = 12 - np.flatnonzero((HALF[::-1] == [1, 0, 0]).all(axis=1))[0]
    lower = found[found % 13 == straight] // 13
    assert set(lower.tolist()) == {2 * (j + 6 * k) for j in range(5) for k in range(5)}


def test_a_fin_far_thinner_than_a_cell_is_a_wall_with_two_faces(turn_and_shift):
    turn, shift = turn_and_shift
    shape = shape_of(trimesh.creation.box((0.004, 18.0, 18.0)), turn, shift)
    box = GridBox(origin_m=tuple((shift - 1.0).tolist()), cell_m=CELL_M, counts=(20, 20, 20))
    links = cut_links(shape, box)
    side = (centres(box) - shift) @ turn[:, 0]
    flood = reached(links, box, np.unravel_index(np.argmin(side), side.shape))
    assert not flood[side > 0.003].any()
    from_air = links.outside
    lengths = np.abs(STEPS[links.directions] @ turn[:, 0]) * CELL_M
    gap = np.abs((starts(links, box) - shift) @ turn[:, 0]) - 0.002
    exact = gap / np.maximum(lengths, 1e-12)
    steep = from_air & (lengths > 0.02) & (exact > 0.01)
    assert np.abs(links.shares - exact)[steep].max() < 0.01
    # The face that is hit is the one that looks at the cell.
    towards = (links.normals * STEPS[links.directions]).sum(axis=1)
    assert (towards[from_air] < 0).all()


def test_both_ends_of_a_piece_tell_the_same_crossing():
    shape = shape_of(trimesh.creation.icosphere(3, radius=1.0))
    box = box_round(shape, CELL_M)
    links = cut_links(shape, box)
    flat = STEPS @ np.array([1, box.counts[0], box.counts[0] * box.counts[1]])
    own = dict(
        zip(zip(links.cells.tolist(), links.directions.tolist(), strict=True), links.shares, strict=True)
    )
    for (cell, way), share in own.items():
        other = own[cell + int(flat[way]), OPPOSITE[way]]
        assert share + other == pytest.approx(1.0, abs=2e-3)


def test_links_come_in_the_order_of_cells_and_each_once():
    shape = shape_of(trimesh.creation.box((1.0, 1.0, 1.0)))
    links = cut_links(shape, box_round(shape, 0.07))
    key = links.cells * 27 + links.directions
    assert (np.diff(key) > 0).all()


def ugly_ball():
    """A ball with 3 % of its triangles missing and 3 % turned."""
    whole = trimesh.creation.icosphere(5, radius=1.0)
    draw = np.random.default_rng(7)
    faces = whole.faces[draw.random(len(whole.faces)) > 0.03].copy()
    turned = draw.random(len(faces)) < 0.03
    faces[turned] = faces[turned][:, ::-1]
    return TunnelShape(points_m=np.asarray(whole.vertices), triangles=faces)


@pytest.mark.parametrize("cell_m", [0.03, 0.05])
def test_a_mesh_with_holes_and_turned_triangles_keeps_its_inside(cell_m):
    shape = ugly_ball()
    box = box_round(shape, cell_m)
    links = cut_links(shape, box)
    far = np.linalg.norm(starts(links, box), axis=1)
    assert (links.outside != (far > 0.9995)).mean() < 0.01
    inside = inside_by(cut_links(shape, box), box.counts)
    assert (inside != (np.linalg.norm(centres(box), axis=-1) < 0.9995)).sum() < 0.01 * inside.sum()
    flood = reached(links, box, (0, 0, 0))
    assert (flood & inside).sum() < 0.001 * inside.sum()


def test_a_hole_of_many_cells_is_closed_by_a_skin():
    whole = trimesh.creation.icosphere(5, radius=1.0)
    middles = np.asarray(whole.triangles_center)
    shape = TunnelShape(points_m=np.asarray(whole.vertices), triangles=whole.faces[middles[:, 0] < 0.8])
    box = box_round(shape_of(whole), 0.05)
    links = cut_links(shape, box)
    far = np.linalg.norm(centres(box), axis=-1)
    rim = centres(box)[..., 0] > 0.7
    flood = reached(links, box, (0, 0, 0))
    assert not flood[(far < 0.99) & ~rim].any()
    assert not flood[(far < 0.9) & (centres(box)[..., 0] < 0.75)].any()
    assert flood[far > 1.01].all()
    # Whatever is cut, both of its ends know it.
    assert len(links.cells) == 2 * len(set(pieces_of(links, box)))


def pieces_of(links, box):
    """Both ends of each link, the lower first."""
    flat = STEPS @ np.array([1, box.counts[0], box.counts[0] * box.counts[1]])
    ends = np.sort(np.column_stack([links.cells, links.cells + flat[links.directions]]), axis=1)
    return map(tuple, ends.tolist())


def test_pieces_that_leave_the_box_are_left_out():
    shape = shape_of(trimesh.creation.icosphere(3, radius=1.0))
    box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=CELL_M, counts=(8, 9, 10))
    links = cut_links(shape, box)
    i, j, k = links.cells % 8, links.cells // 8 % 9, links.cells // 72
    end = np.column_stack([i, j, k]) + STEPS[links.directions]
    assert len(links.cells)
    assert (end >= 0).all()
    assert (end < np.array(box.counts)).all()


def test_triangles_without_area_change_nothing():
    whole = trimesh.creation.box((1.0, 1.0, 1.0))
    flat = np.concatenate([whole.faces, [[0, 0, 1], [2, 2, 2], [0, 1, 0]]])
    shape = TunnelShape(points_m=np.asarray(whole.vertices), triangles=flat)
    box = box_round(shape, 0.11)
    got, wanted = cut_links(shape, box), cut_links(shape_of(whole), box)
    for name in ("cells", "directions", "shares", "normals", "outside"):
        assert (getattr(got, name) == getattr(wanted, name)).all()


def test_a_box_that_the_shape_does_not_reach_has_no_links():
    shape = shape_of(trimesh.creation.box((1.0, 1.0, 1.0)))
    box = GridBox(origin_m=(5.0, 5.0, 5.0), cell_m=0.1, counts=(4, 5, 6))
    assert not len(cut_links(shape, box).cells)
    assert inside_by(cut_links(shape, box), box.counts).shape == (6, 5, 4)
    assert not inside_by(cut_links(shape, box), box.counts).any()


def test_a_shape_without_triangles_is_refused():
    nothing = TunnelShape(points_m=np.zeros((0, 3)), triangles=np.zeros((0, 3), dtype=np.int64))
    with pytest.raises(OutsideRange, match="triangle"):
        cut_links(nothing, GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(4, 4, 4)))


def test_a_seal_looks_out_of_the_inside_whichever_end_of_its_piece_that_is():
    """A row of four cells; those between the first two and between the last two lead inside."""
    none = Links(
        cells=np.empty(0, dtype=np.int64), directions=np.empty(0, dtype=np.int64),
        shares=np.empty(0, dtype=np.float32), normals=np.empty((0, 3), dtype=np.float32),
        outside=np.empty(0, dtype=bool),
    )  # fmt: skip
    along = next(number for number, step in enumerate(HALF) if tuple(step) == (1, 0, 0))
    seals = Seals(
        cells=np.array([0, 2]), ways=np.array([along, along]),
        shares=np.array([0.25, 0.5], dtype=np.float32), is_lower_inside=np.array([False, True]),
        known=np.arange(4), is_inside=np.array([False, True, True, False]),
    )  # fmt: skip
    found = _with_seals(none, seals, (4, 1, 1))
    assert found.cells.tolist() == [0, 1, 2, 3]
    assert found.outside.tolist() == [True, False, False, True]
    assert found.shares.tolist() == [0.25, 0.75, 0.5, 0.5]
    # Out of the inside: ahead of it against the stations, behind it along them.
    assert found.normals.tolist() == [[-1, 0, 0], [-1, 0, 0], [1, 0, 0], [1, 0, 0]]
    assert [tuple(STEPS[way]) for way in found.directions] == [(1, 0, 0), (-1, 0, 0), (1, 0, 0), (-1, 0, 0)]
