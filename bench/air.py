"""How long a mesh takes from its file to band and table, and a design of known sections with other fins.

Run ``python bench/air.py`` (about a minute) or ``python bench/air.py --small`` (seconds). The
shape is the tapered octagonal tower of ``slices.py`` with four fins drawn into the mesh. Beside
the time stands how far the force slope is off that of the exact outlines. The designs are the
demo's with fins of a new span each, as a search tries them; the baseline is solving its sections,
which is done once for all of them.
"""

import json
import os
import platform
import statistics
import sys
import tempfile
import time
from importlib.metadata import version
from itertools import pairwise
from pathlib import Path

# As the command line does: a second thread of the library that solves waits and counts as work.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
from goals import Goal, absolute_time, judged, options, steady
from slices import BASE_M, LENGTH_M, TOP_M, tower

from finial.aero.band.band import pressure_band
from finial.aero.body import body_air
from finial.aero.fins.on_body import fin_air
from finial.aero.sections.outlines import regular_polygon, tapered_skin
from finial.aero.table.build import TableInputs, air_table
from finial.assemble.air.source import air_loads
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.levers import span
from finial.assemble.vehicle.loading import load_vehicle
from finial.assemble.vehicle.mesh_fins import parted
from finial.files.meshes import read_mesh
from finial.shape.mesh import Mesh
from finial.shape.repair import repaired
from finial.shape.sections import slice_skin

GOAL_S, GOAL_TRIANGLES = 2.5, 1_000_000
SLOPE_GOAL = 5e-3
DESIGN_GOAL_MS = 40.0
DEMO = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
FINS = 4
ANGLES = np.radians(np.arange(0.0, 31.0, 2.5))
ROLLS = np.radians(np.arange(0.0, 360.0, 15.0))
FIN = np.array([[0.9, 0.07], [1.0, 0.22], [1.15, 0.22], [1.15, 0.07]])
"""Aft of the tip, distance from the axis: the root lies inside the tower."""


def with_fins(body: Mesh) -> Mesh:
    """Add plates 4 mm thick, each a closed body through the wall."""
    vertices, faces, count = [body.vertices_m], [body.faces], len(body.vertices_m)
    flat = np.array([[0, 1, 2], [0, 2, 3]])
    for roll in 2 * np.pi / FINS * np.arange(FINS) + np.pi / 8:
        out, across = np.array([np.cos(roll), np.sin(roll)]), np.array([-np.sin(roll), np.cos(roll)])
        sides = [np.column_stack([-FIN[:, 0], FIN[:, 1:] * out + half * across]) for half in (0.002, -0.002)]
        near, far = np.arange(4), (np.arange(4) + 1) % 4
        rim = np.vstack([np.column_stack([near, far + 4, far]), np.column_stack([near, near + 4, far + 4])])
        vertices += sides
        faces.append(np.vstack([flat, flat[:, ::-1] + 4, rim]) + count)
        count += 8
    return Mesh(vertices_m=np.vstack(vertices), faces=np.vstack(faces))


def binary_stl(mesh: Mesh) -> bytes:
    """Mesh as binary STL in millimetres."""
    record = np.zeros(
        len(mesh.faces), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("flags", "<u2")]
    )
    record["corners"] = 1e3 * mesh.triangles_m
    return bytes(80) + np.uint32(len(mesh.faces)).tobytes() + record.tobytes()


def end_to_end(path: Path) -> tuple[dict[str, float], float, int]:
    """Seconds of each stage, the bare force slope, and how many fins were found."""
    clock, marks = time.perf_counter, {}
    start = clock()
    raw = read_mesh(path, "mm")
    marks["read"] = clock()
    mended = repaired(Mesh(vertices_m=raw.vertices_m, faces=raw.faces))
    marks["mend"] = clock()
    whole = slice_skin([mended])
    marks["slice"] = clock()
    split = parted(whole, [mended], ())
    skin, sets = split.body, split.fins
    marks["split fins"] = clock()
    body = body_air(skin)
    marks["sections"] = clock()
    fins = fin_air(body, sets)
    band = pressure_band(body, fins, ANGLES, ROLLS)
    air_table(body, fins, TableInputs(damping_centre_m=0.5))
    marks["band and table"] = clock()
    ends = [start, *marks.values()]
    seconds = {name: ends[k + 1] - ends[k] for k, name in enumerate(marks)}
    return seconds, band.bare_slope.value, sum(fin.count for fin in sets)


def exact_slope() -> float:
    profile = [(0.0, TOP_M), (LENGTH_M, BASE_M)]
    body = body_air(tapered_skin(lambda across: regular_polygon(8, across), profile))
    return pressure_band(body, (), ANGLES, ROLLS).bare_slope.value


def one_size(triangles: int, runs: int, folder: Path) -> dict[str, float]:
    path = folder / "tower.stl"
    mesh = with_fins(tower(triangles))
    path.write_bytes(binary_stl(mesh))
    end_to_end(path)
    results = [end_to_end(path) for _ in range(runs)]
    totals = [sum(seconds.values()) for seconds, _, _ in results]
    middle = results[int(np.argsort(totals)[len(totals) // 2])]
    return {
        "triangles": len(mesh.faces),
        "seconds": statistics.median(totals),
        "quickest_s": min(totals),
        "spread_s": max(totals) - min(totals),
        "slope_error": abs(middle[1] / exact_slope() - 1.0),
        "fins_found": middle[2],
        **{f"{name} s": seconds for name, seconds in middle[0].items()},
    }


def one_design(runs: int) -> tuple[float, float]:
    """Median processor times [ms]: solving the demo's sections, and the air of a design with other fins."""
    vehicle = load_vehicle(DEMO, lambda note: None)
    sections, designs = [], []
    for number in range(runs + 2):
        start = time.process_time()
        body_air(vehicle.skin)
        sections.append(1e3 * (time.process_time() - start))
        factor = 0.8 + 0.4 * number / (runs + 1)
        changes = {
            at: to for fin in vehicle.sheet.fin for at, to in span(vehicle.sheet, fin.name, factor).items()
        }
        design = changed(vehicle, changes)
        start = time.process_time()
        air_loads(design, 0.6)
        designs.append(1e3 * (time.process_time() - start))
    return statistics.median(sections[2:]), statistics.median(designs[2:])


def goals(rows: list[dict[str, float]]) -> list[Goal]:
    """Time of the largest mesh; the slope and the fins found of each."""
    found = []
    for row in rows:
        mesh = f"{row['triangles']:,.0f} triangles"
        found.append(steady(f"{mesh}, force slope off by", row["slope_error"], "at most", SLOPE_GOAL))
        if row["triangles"] >= GOAL_TRIANGLES:
            found.append(absolute_time(f"{mesh}, from file to table", row["seconds"], GOAL_S, " s"))
        found.append(steady(f"{mesh}, fins found", row["fins_found"], "exactly", FINS))
    return found


def main() -> int:
    parser = options(__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON instead of a table")
    given = parser.parse_args()
    sizes, runs = ((2_000, 20_000), 2) if given.small else ((10_000, 100_000, 1_000_000), 5)
    with tempfile.TemporaryDirectory() as folder:
        rows = [one_size(size, runs, Path(folder)) for size in sizes]
    sections_ms, design_ms = one_design(5 if given.small else 30)
    machine = {
        "python": platform.python_version(),
        "processor": platform.machine(),
        "cores": os.cpu_count(),
        **{name: version(name) for name in ("numpy", "scipy", "shapely")},
    }
    growth = [
        float(np.log(late["seconds"] / early["seconds"]) / np.log(late["triangles"] / early["triangles"]))
        for early, late in pairwise(rows)
    ]
    if given.json:
        told = {"machine": machine, "runs": runs, "rows": rows, "growth": growth}
        print(json.dumps({**told, "sections_ms": sections_ms, "design_ms": design_ms}, indent=2))
    else:
        print(", ".join(f"{key} {value}" for key, value in machine.items()), f"; median of {runs} runs")
        for row in rows:
            stages = ", ".join(f"{key[:-2]} {row[key]:.3f}" for key in row if key.endswith(" s"))
            print(
                f"{row['triangles']:>9,} triangles: {row['seconds']:.2f} s "
                f"(quickest {row['quickest_s']:.2f}, spread {row['spread_s']:.2f}; {stages}), "
                f"{row['fins_found']} fins found, slope off by {100 * row['slope_error']:.3f} %"
            )
        print("growth: time as triangles to the power", ", ".join(f"{power:.2f}" for power in growth))
        print(f"the demo: sections {sections_ms:.1f} ms, then {design_ms:.1f} ms a design (processor time)")
    design = absolute_time("air of one design, processor time", design_ms, DESIGN_GOAL_MS, " ms")
    return judged([*goals(rows), design], given)


if __name__ == "__main__":
    sys.exit(main())
