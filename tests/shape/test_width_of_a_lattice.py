"""A lattice is as wide as what stands round its posts, and margins in widths are told in that."""

import numpy as np
import pytest
import trimesh

from finial.shape.apart import around_posts_m2
from finial.shape.mesh import Mesh
from finial.shape.sections import slice_skin

BAR_M, ACROSS_M, LONG_M = 0.012, 0.2, 1.0


def posts(length_m: float, top_m: float) -> Mesh:
    """Four bars on the corners of a square, below a block as far across as ``top_m``."""
    off = (ACROSS_M - BAR_M) / 2
    bars = [
        trimesh.creation.box([BAR_M, BAR_M, length_m]).apply_translation([y, z, -LONG_M + length_m / 2])
        for y in (-off, off)
        for z in (-off, off)
    ]
    block = trimesh.creation.box([top_m, top_m, LONG_M - length_m + 0.01])
    block.apply_translation([0.0, 0.0, -(LONG_M - length_m) / 2 - 0.005])
    whole = trimesh.boolean.union([*bars, block], engine="manifold")
    return Mesh(vertices_m=whole.vertices[:, [2, 0, 1]], faces=whole.faces)


def test_posts_are_as_wide_as_the_square_round_them() -> None:
    skin = slice_skin([posts(0.95, 0.205)])
    assert skin.breadth_m == skin.width_m == pytest.approx(0.205 * 2 / np.sqrt(np.pi), rel=1e-6)
    bare = slice_skin([posts(0.95, 0.19)])
    # The square round the bars, by hand; the block on top is the largest section.
    assert bare.breadth_m == pytest.approx(ACROSS_M * 2 / np.sqrt(np.pi), rel=1e-6)
    assert bare.width_m < 0.98 * bare.breadth_m


@pytest.mark.parametrize(
    ("share", "of_it"), [(0.35, 0.0), (0.45, 0.25), (0.5, 0.5), (0.55, 0.75), (0.7, 1.0)]
)
def test_it_counts_by_how_much_of_the_length_stands_apart(share: float, of_it: float) -> None:
    """From four tenths of the length to six the mean over them fills up: by hand, (share - 0.4) / 0.2."""
    bar = np.array([[0.0, 0.0], [0.01, 0.0], [0.01, 0.01], [0.0, 0.01]])
    frame = [bar, bar + 0.19]
    stations = np.linspace(0.0, 1.0, 2001)
    outlines = [frame if station > 1.0 - share else [bar] for station in stations]
    # Two squares on a diagonal: the hull is the square round them less two triangles of 0.19 each way.
    around = 0.2**2 - 0.19**2
    assert around_posts_m2(stations, outlines) == pytest.approx(of_it * around, abs=2e-3 * around)
