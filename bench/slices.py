"""How many sections a second, against the number of triangles, and how exact.

Run ``python bench/slices.py`` (about two minutes) or ``python bench/slices.py --small`` (seconds).
The shape is a tapered octagonal tower, whose section areas are known exactly. Beside it stands
a general mesh library that cuts the same mesh one plane at a time.
"""

import json
import math
import os
import platform
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version

import numpy as np
from goals import Goal, judged, options, steady
from numpy.typing import NDArray

from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin

LENGTH_M, TOP_M, BASE_M = 1.2, 0.10, 0.16
RUNS = 5
AREA_GOAL = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """Median and spread of several runs [s], and what the last run gave."""

    median_s: float
    spread_s: float
    result: object


def tower(triangles: int) -> Mesh:
    """Tapered octagon of about so many triangles, all its surface cut up evenly."""
    # Every sixteenth point is a corner or the middle of a flat, so the mesh is the exact shape.
    around = 16 * max(1, round(math.sqrt(triangles / 2 * 0.45 / LENGTH_M) / 16))
    rings = max(2, round(triangles / 2 / around))
    station = np.linspace(0.0, LENGTH_M, rings + 1)
    angle = np.arange(around) * 2 * math.pi / around
    sector = 2 * math.pi / 8
    shape = 0.5 / np.cos((angle + sector / 2) % sector - sector / 2)
    across = TOP_M + (BASE_M - TOP_M) * station / LENGTH_M
    radius = across[:, None] * shape
    axis = np.broadcast_to(-station[:, None], radius.shape)
    points = np.stack([axis, radius * np.cos(angle), radius * np.sin(angle)], axis=-1).reshape(-1, 3)
    ends = [[0.0, 0.0, 0.0], [-LENGTH_M, 0.0, 0.0]]
    return Mesh(vertices_m=np.vstack([points, ends]), faces=tower_faces(rings, around))


def tower_faces(rings: int, around: int) -> NDArray[np.int64]:
    here = np.arange(around)
    after = np.roll(here, -1)
    low = (np.arange(rings) * around)[:, None]
    a, b, c, d = ((low + offset).ravel() for offset in (here, after, here + around, after + around))
    tip, base, last = (rings + 1) * around, (rings + 1) * around + 1, rings * around
    return np.concatenate(
        [
            np.column_stack([a, d, b]),
            np.column_stack([a, c, d]),
            np.column_stack([np.full(around, tip), here, after]),
            np.column_stack([np.full(around, base), last + after, last + here]),
        ]
    )


def exact_areas_m2(stations_m: NDArray[np.float64]) -> NDArray[np.float64]:
    across = TOP_M + (BASE_M - TOP_M) * stations_m / LENGTH_M
    return 2.0 * math.tan(math.pi / 8) * across**2


def timed(run: Callable[[], object], runs: int) -> Timing:
    run()  # warm-up: first calls load libraries
    seconds, result = [], None
    for _ in range(runs):
        start = time.perf_counter()
        result = run()
        seconds.append(time.perf_counter() - start)
    return Timing(median_s=statistics.median(seconds), spread_s=max(seconds) - min(seconds), result=result)


def plane_by_plane(mesh: Mesh, stations_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Section areas from trimesh, one plane after another."""
    import trimesh

    solid = trimesh.Trimesh(vertices=mesh.vertices_m, faces=mesh.faces, process=False)
    areas = []
    for station in stations_m:
        cut = solid.section(plane_origin=[-station, 0, 0], plane_normal=[1, 0, 0])
        flat, _ = cut.to_2D()
        areas.append(sum(polygon.area for polygon in flat.polygons_closed))
    return np.array(areas)


def worst_error(areas_m2: NDArray[np.float64], stations_m: NDArray[np.float64]) -> float:
    return float(np.abs(areas_m2 / exact_areas_m2(stations_m) - 1.0).max())


def one_size(triangles: int, runs: int) -> dict[str, float]:
    mesh = tower(triangles)
    mending = timed(lambda: repaired(mesh), runs)
    mended = repaired(mesh)
    ours = timed(lambda: slice_skin([mended]), runs)
    skin = slice_skin([mended])
    inside = skin.stations_m[1:-1]
    few = inside[:: max(1, len(inside) // 12)]
    theirs = timed(lambda: plane_by_plane(mesh, few), max(1, runs // 2))
    rate, their_rate = len(skin.sections) / ours.median_s, len(few) / theirs.median_s
    return {
        "triangles": len(mesh.faces),
        "repair_s": mending.median_s,
        "slice_s": ours.median_s,
        "slice_spread_s": ours.spread_s,
        "sections": len(skin.sections),
        "sections_per_s": rate,
        "area_error": worst_error(skin.areas_m2[1:-1], inside),
        "baseline_sections_per_s": their_rate,
        "baseline_area_error": worst_error(plane_by_plane(mesh, few), few),
        "times_faster": rate / their_rate,
    }


def goals(rows: list[dict[str, float]]) -> list[Goal]:
    """Areas of the sections, at each size. How fast is told and has no goal of its own."""
    return [
        steady(f"{row['triangles']:,.0f} triangles, areas off by", row["area_error"], "at most", AREA_GOAL)
        for row in rows
    ]


def main() -> int:
    parser = options(__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON instead of a table")
    given = parser.parse_args()
    sizes, runs = ((2_000, 9_000), 2) if given.small else ((9_000, 90_000, 1_000_000), RUNS)
    rows = [one_size(size, runs) for size in sizes]
    machine = {
        "python": platform.python_version(),
        "processor": platform.machine(),
        "cores": os.cpu_count(),
        **{name: version(name) for name in ("numpy", "scipy", "shapely", "trimesh")},
    }
    if given.json:
        print(json.dumps({"machine": machine, "runs": runs, "rows": rows}, indent=2))
    else:
        tell(rows, machine, runs)
    return judged(goals(rows), given)


def tell(rows: list[dict[str, float]], machine: dict[str, object], runs: int) -> None:
    print(", ".join(f"{key} {value}" for key, value in machine.items()), f"; median of {runs} runs")
    for row in rows:
        print(
            f"{row['triangles']:>9,} triangles: repair {row['repair_s']:.3f} s, "
            f"{row['sections']:.0f} sections in {row['slice_s']:.3f} s (spread {row['slice_spread_s']:.3f}), "
            f"{row['sections_per_s']:.0f}/s, area error {row['area_error']:.0e} | one plane at a time "
            f"{row['baseline_sections_per_s']:.0f}/s, error {row['baseline_area_error']:.0e} | "
            f"{row['times_faster']:.1f} times faster"
        )


if __name__ == "__main__":
    sys.exit(main())
