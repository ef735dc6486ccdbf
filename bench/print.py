"""How long it takes to cut a large mesh to a bed, and whether every piece that is read back is sound.

Run ``python bench/print.py`` (half a minute) or ``python bench/print.py --small`` (seconds). The shape is a
round tower with a bore, all its surface cut up evenly; it is cut into pieces with dowels in every joint and
four rods through all of them, rounded as in a file, written, and read back.
"""

import json
import math
import os
import platform
import sys
import time
from dataclasses import dataclass
from importlib.metadata import version

import manifold3d
import numpy as np
from goals import absolute_time, judged, options, steady

from finial.files.stl import read_stl, stl_bytes
from finial.printing.joints import Dowels, JointKind
from finial.printing.sound import sound
from finial.printing.splitting import Clearances, lengthwise_cut, split, station_cut
from finial.shape.mesh import Mesh
from finial.shape.united import solid_of_mesh

LENGTH_M, OUTER_M, INNER_M = 1.2, 0.16, 0.11
PIECES = 32
RUNS = 5
SECONDS_GOAL = 5.0
TRIANGLES, SMALL_TRIANGLES = 200_000, 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What one run took [s], and how exact it was."""

    seconds: float
    sound: int
    pieces: int
    volume_error: float


def tower(triangles: int) -> Mesh:
    """Round tube of about so many triangles."""
    around = 8 * max(2, round(math.sqrt(triangles / 4 * 0.4) / 8))
    rings = max(2, round(triangles / 4 / around))
    angle = np.arange(around) * 2 * math.pi / around
    stations = np.linspace(0.0, LENGTH_M, rings + 1)
    grid = np.arange((rings + 1) * around).reshape(rings + 1, around)
    after = np.roll(grid, -1, axis=1)
    points, faces = [], []
    for base, across, outward in ((0, OUTER_M, True), (grid.size, INNER_M, False)):
        y, z = across / 2 * np.cos(angle), across / 2 * np.sin(angle)
        points.append(
            np.stack(
                [
                    np.broadcast_to(-stations[:, None], grid.shape),
                    np.broadcast_to(y, grid.shape),
                    np.broadcast_to(z, grid.shape),
                ],
                axis=-1,
            ).reshape(-1, 3)
        )
        a, b, c, d = grid[:-1], after[:-1], after[1:], grid[1:]
        wall = np.concatenate(
            [np.stack([a, c, b], -1).reshape(-1, 3), np.stack([a, d, c], -1).reshape(-1, 3)]
        )
        faces.append((wall if outward else wall[:, ::-1]) + base)
    for row, fore in ((0, True), (rings, False)):
        a, b = grid[row], after[row]
        lid = np.concatenate(
            [np.stack([a, b, b + grid.size], -1), np.stack([a, b + grid.size, a + grid.size], -1)]
        )
        faces.append(lid if fore else lid[:, ::-1])
    return Mesh(vertices_m=np.concatenate(points), faces=np.concatenate(faces))


def once(mesh: Mesh) -> Cut:
    start = time.perf_counter()
    whole = solid_of_mesh(mesh)
    assert whole.status() == manifold3d.Error.NoError
    for turn in range(4):
        rod = manifold3d.Manifold.cylinder(2 * LENGTH_M, 4.15e-3, 4.15e-3, 48).rotate((0.0, -90.0, 0.0))
        whole = whole - rod.translate((LENGTH_M / 2, 0.0, 0.0675)).rotate((90.0 * turn, 0.0, 0.0))
    pins = Dowels(count=4, diameter_m=5e-3, depth_m=12e-3)
    stations = np.linspace(0.0, LENGTH_M, PIECES // 4 + 1)[1:-1]
    cuts = [station_cut(float(one), JointKind.DOWELS, pins) for one in stations]
    cuts += [lengthwise_cut(math.pi / 4, JointKind.GLUE), lengthwise_cut(3 * math.pi / 4, JointKind.GLUE)]
    parted = split(whole, cuts, Clearances(across_m=0.3e-3, wall_m=1.2e-3))
    kept = [sound(one.scale((1e3, 1e3, 1e3)), f"piece {number}") for number, one in enumerate(parted.pieces)]
    files = [stl_bytes(one.vertices_mm, one.faces) for one in kept]
    seconds = time.perf_counter() - start
    closed, error = 0, 0.0
    for file, body in zip(files, parted.pieces, strict=True):
        vertices, faces, _ = read_stl(file)
        again = solid_of_mesh(Mesh(vertices_m=vertices, faces=faces))
        closed += again.status() == manifold3d.Error.NoError and len(again.decompose()) == 1
        error = max(error, abs(again.volume() / (1e9 * body.volume()) - 1.0))
    return Cut(seconds=seconds, sound=closed, pieces=len(files), volume_error=error)


def main() -> int:
    asked = options(__doc__).parse_args()
    mesh = tower(SMALL_TRIANGLES if asked.small else TRIANGLES)
    once(tower(SMALL_TRIANGLES))
    runs = [once(mesh) for _ in range(RUNS)]
    seconds = sorted(run.seconds for run in runs)
    print(
        json.dumps(
            {
                "triangles": len(mesh.faces),
                "pieces": runs[0].pieces,
                "median_s": seconds[RUNS // 2],
                "spread_s": seconds[-1] - seconds[0],
                "volume_error": max(run.volume_error for run in runs),
                "machine": f"{platform.machine()}, {os.cpu_count()} cores",
                "manifold3d": version("manifold3d"),
            },
            indent=1,
        )
    )
    goals = [
        absolute_time(
            f"{len(mesh.faces):,} triangles into {runs[0].pieces} pieces and their files",
            seconds[RUNS // 2],
            SECONDS_GOAL,
            " s",
        ),
        steady(
            "pieces that are one closed body when their file is read back",
            min(run.sound for run in runs),
            "exactly",
            runs[0].pieces,
        ),
        steady("volume of a piece through its file", max(run.volume_error for run in runs), "at most", 1e-6),
    ]
    return judged(goals, asked)


if __name__ == "__main__":
    sys.exit(main())
