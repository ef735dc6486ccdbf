"""How long does it take to see whether everything fits: a million triangles, forty things?

A tapered tower with a hole along it, forty discs, tubes and a motor in the hole. The whole look at the
inside is timed with nothing kept from before, the mesh once read, mended and sliced; then again with the
ballast changed, as a slider of the page changes it, where what the meshes decide is kept. Beside the times
stands what is right: every disc's room to the wall, worked by hand, and one disc that stands in another,
which must be the only one.

Run ``python bench/inside.py`` (about a minute) or ``python bench/inside.py --small`` (seconds).
"""

import importlib
import json
import pkgutil
import platform
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path

import numpy as np
from goals import Goal, absolute_time, judged, options, ratio, steady
from slices import tower

import finial.assemble.inside
import finial.inside
from finial.assemble.inside.results import InsideResult, Meeting
from finial.assemble.inside.study import inside_result
from finial.assemble.looks.answer import answer
from finial.assemble.vehicle.changes import changed
from finial.assemble.vehicle.fins import fin_sets
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.kept_parts import forget_all
from finial.findings.check import load
from finial.inside.room import wall_gap
from finial.inside.things import Kind, Thing
from finial.shape.mesh import Mesh

BUOY = Path(__file__).parents[1] / "examples" / "buoy-tiers"
DISCS = 35
HOLE_MM, DISC_MM = 70.0, 62.0
GOAL_S, SLIDER_MS, SLIDER_SHARE = 2.0, 10.0, 0.25
FAR_M = 0.1e-3
RUNS = 5


def main(arguments: list[str]) -> int:
    asked = options(__doc__).parse_args(arguments)
    triangles = 50_000 if asked.small else 1_000_000
    with tempfile.TemporaryDirectory() as folder:
        vehicle = load(written(Path(folder), triangles))
    record = measured(vehicle)
    machine = {"python": platform.python_version(), "processor": platform.machine()}
    versions = {name: version(name) for name in ("numpy", "shapely")}
    print(json.dumps({"machine": {**machine, **versions}, **record}, indent=1))
    return judged(goals(record), asked)


def measured(vehicle: LoadedVehicle) -> dict[str, float]:
    """Times and what is right, as one record."""
    mass = answer(vehicle).mass

    def look(one: LoadedVehicle) -> InsideResult:
        return inside_result(
            one, fin_sets(one), balance_m=mass.lift_off_balance, lift_off_kg=mass.lift_off.mass_kg
        )

    def with_ballast(mass_kg: float) -> LoadedVehicle:
        return changed(vehicle, {("item", 0, "mass"): f"{mass_kg:.3f} kg"})

    (cold_s, spread_s), inside = timed(lambda: (forgotten(), look(vehicle))[1])
    warm_s, warm_spread_s = slider(lambda mass_kg: look(with_ballast(mass_kg)))
    whole_s, _ = slider(lambda mass_kg: answer(with_ballast(mass_kg)))
    return {
        "triangles": sum(len(part.mended.mesh.faces) for part in vehicle.parts),
        "things": len(inside.things),
        "cuts": len(inside.cavity.stations_m),
        "seconds": cold_s,
        "seconds_spread": spread_s,
        "slider_ms": 1e3 * warm_s,
        "slider_spread_ms": 1e3 * warm_spread_s,
        "slider_share": warm_s / whole_s,
        "cold_over_warm": cold_s / warm_s,
        "room_off_m": worst_gap_m(inside),
        "pairs_found": len(pairs_found(inside)),
    }


def goals(record: dict[str, float]) -> list[Goal]:
    """What is found is right; the look takes two seconds at most, and a slider hardly feels it."""
    size = f"{record['triangles']:,.0f} triangles and {record['things']:.0f} things"
    return [
        steady("things looked at", record["things"], "at least", 40),
        steady(
            "room to the wall against that worked by hand, farthest off",
            record["room_off_m"],
            "at most",
            FAR_M,
            " m",
        ),
        steady(
            "pairs of discs that stand in one another, where one does", record["pairs_found"], "exactly", 1
        ),
        # Where this falls, something kept was not forgotten, and the whole look is not timed at all.
        ratio("the whole look over that after a slider", record["cold_over_warm"], "at least", 8.0, 4.0),
        absolute_time(f"whole look at {size}", record["seconds"], GOAL_S, " s of CPU"),
        absolute_time("the look after a slider moved", record["slider_ms"], SLIDER_MS, " ms of CPU"),
        ratio(
            "the look's share of an answer after a slider",
            record["slider_share"],
            "at most",
            SLIDER_SHARE,
            0.4,
        ),
    ]


def pairs_found(inside: InsideResult) -> set[frozenset[str]]:
    others = {one.name for one in inside.things if one.kind is Kind.OTHER}
    found = {frozenset((one.first, one.second)) for one in inside.meetings if deep(one)}
    return {pair for pair in found if pair <= others}


def deep(met: Meeting) -> bool:
    return met.gap.low < -met.allowed_m


def written(folder: Path, triangles: int) -> Path:
    """Write the tower, its sheet, and what the sheet names; return the sheet."""
    for name in ("motors", "site.toml"):
        copy = shutil.copytree if (BUOY / name).is_dir() else shutil.copy
        copy(BUOY / name, folder / name)
    save(tower(triangles), folder / "tower.stl")
    text = (BUOY / "buoy-tiers.toml").read_text(encoding="utf-8")
    rest = text[text.index("[motor]") :]
    sheet = folder / "tower.toml"
    sheet.write_text(
        "\n".join([head(), *(disc(number) for number in range(DISCS)), tail(rest)]), encoding="utf-8"
    )
    return sheet


def head() -> str:
    return f"""
[vehicle]
name = "Bench Tower"
up = "+x"

[[part]]
name = "tower"
mesh = "tower.stl"
mesh_unit = "m"
material = "PETG"
print = {{ wall = "1.2 mm", infill = "6 %" }}
bores = [{{ stations = ["100 mm", "1200 mm"], across = "{HOLE_MM} mm" }}]

[[item]]
name = "ballast"
mass = "0.5 kg"
station = "150 mm"
kind = "ballast"
across = "{DISC_MM} mm"
material = "steel"

[[item]]
name = "in another"          # stands in disc 9, by 5 mm of its length
mass = "20 g"
station = "377.5 mm"
across = "20 mm"
length = "10 mm"
material = "PETG"
"""


def disc(number: int) -> str:
    return f"""
[[item]]
name = "disc {number}"
mass = "20 g"
station = "{185 + 20 * number} mm"
across = "{DISC_MM} mm"
length = "10 mm"
material = "PETG"
"""


def tail(rest: str) -> str:
    """The example's motor, bay and electronics, moved to where this tower has room for them."""
    moved = rest.replace('nozzle_station = "915 mm"', 'nozzle_station = "1205 mm"')
    lines = [line for line in moved.splitlines() if not line.startswith("mount =")]
    return "\n".join(lines)


def save(mesh: Mesh, path: Path) -> None:
    """Write a binary STL."""
    corners = mesh.triangles_m.astype("<f4")
    record = np.zeros(
        len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")]
    )
    record["corners"] = corners
    path.write_bytes(bytes(80) + np.uint32(len(corners)).tobytes() + record.tobytes())


def forgotten() -> None:
    """Forget everything that earlier looks kept."""
    forget_all()
    for package in (finial.inside, finial.assemble.inside):
        for found in pkgutil.iter_modules(package.__path__, f"{package.__name__}."):
            for kept in vars(importlib.import_module(found.name)).values():
                if hasattr(kept, "cache_clear"):
                    kept.cache_clear()


def timed(run: Callable[[], InsideResult]) -> tuple[tuple[float, float], InsideResult]:
    """Median and spread of several runs after a first [s of CPU], and what the last gave."""
    result, seconds = run(), []
    for _ in range(RUNS):
        start = time.process_time()
        result = run()
        seconds.append(time.process_time() - start)
    return (statistics.median(seconds), max(seconds) - min(seconds)), result


def slider(run: Callable[[float], object]) -> tuple[float, float]:
    """Median and spread over masses that were never asked before [s of CPU]."""
    run(0.4)
    seconds = []
    for number in range(4 * RUNS):
        start = time.process_time()
        run(0.41 + 0.005 * number)
        seconds.append(time.process_time() - start)
    return statistics.median(seconds), max(seconds) - min(seconds)


def worst_gap_m(inside: InsideResult) -> float:
    """How far the discs' room to the wall is off from half the difference of both diameters [m]."""
    discs = [one for one in inside.things if one.kind is Kind.OTHER and one.name.startswith("disc ")]
    right = (HOLE_MM - DISC_MM) / 2e3
    return max(abs(gap(one, inside) - right) for one in discs)


def gap(one: Thing, inside: InsideResult) -> float:
    return wall_gap(one, inside.cavity).gap_m


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
