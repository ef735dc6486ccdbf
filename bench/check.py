"""How long does ``finial check`` of the demo take, first and again, and every other look?

The first run after installing compiles the kernels; what is timed is the whole process, started
anew, once they are kept. The first look finds no answer kept, the second finds that of the same
sheet and the same files. The baseline is a bare interpreter that imports numpy: the least any such
command can take. The verdict and the apogee stand beside the time, and both looks must say the
same: a fast wrong answer is no answer.
"""

import json
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import platformdirs
from goals import absolute_time, judged, options, ratio, steady

DEMO = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
CHECK_GOAL_S, LOOK_GOAL_S, HELP_GOAL_S = 1.0, 6.0, 0.2
LONG_LOOKS = ("air", "strength", "recovery")


def timed(command: list[str], more: Mapping[str, str] = MappingProxyType({})) -> tuple[float, float, str]:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=False, env={**os.environ, **more})
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    if done.returncode not in (0, 3, 4):
        raise SystemExit(done.stderr)
    return wall, cpu, done.stdout


def spread(
    name: str, command: list[str], runs: int, more: Mapping[str, str] = MappingProxyType({})
) -> tuple[float, float, str]:
    """Medians of wall and processor time [s] after one run that does not count, and what was printed."""
    timed(command, more)
    timings = [timed(command, more) for _ in range(runs)]
    walls = sorted(wall for wall, _, _ in timings)
    wall, cpu = statistics.median(walls), statistics.median(cpu for _, cpu, _ in timings)
    print(
        f"{name:28s} wall {wall:6.3f} s ({walls[0]:.3f} to {walls[-1]:.3f})   cpu {cpu:6.3f} s   {runs} runs"
    )
    return wall, cpu, timings[-1][2]


def first_looks(name: str, check: list[str], runs: int, folder: Path) -> tuple[float, str]:
    """Median processor time [s] of checks that find kernels kept and no answers, and what the last said.

    Its answer stays in the folder: what others keep in the user's own may have been added up by another
    number of threads, and differ in the last bits.
    """
    for kernels in user_folder().glob("*-*"):
        if not (folder / kernels.name).exists():
            (folder / kernels.name).symlink_to(kernels)
    timings: list[tuple[float, str]] = []
    for _ in range(runs):
        shutil.rmtree(folder / "answers", ignore_errors=True)
        _, cpu_s, said = timed(check, {"FINIAL_CACHE_DIR": str(folder)})
        timings.append((cpu_s, said))
    cpu_s = statistics.median(cpu for cpu, _ in timings)
    print(f"{name:28s} cpu {cpu_s:6.3f} s   {runs} runs")
    return cpu_s, timings[-1][1]


def user_folder() -> Path:
    """Folder of kept kernels, filled by a run that does not count."""
    timed([sys.executable, "-m", "finial", "check", str(DEMO), "--json", "--quiet"])
    chosen = os.environ.get("FINIAL_CACHE_DIR")
    return Path(chosen or platformdirs.user_cache_dir("finial", appauthor=False))


def main() -> int:
    given = options(__doc__).parse_args()
    runs, long_runs = (3, 1) if given.small else (9, 5)
    finial = [sys.executable, "-m", "finial"]
    spread("import numpy (baseline)", [sys.executable, "-c", "import numpy"], runs)
    _, help_s, _ = spread("finial --help", [*finial, "--help"], runs)
    check = [*finial, "check", str(DEMO), "--json", "--quiet"]
    with tempfile.TemporaryDirectory() as scratch:
        quick_s, _ = first_looks("finial check --quick, first", [*check, "--quick"], long_runs, Path(scratch))
        first_s, first = first_looks("finial check, first look", check, long_runs, Path(scratch))
        kept = {"FINIAL_CACHE_DIR": scratch}
        wall_s, cpu_s, said = spread("finial check, second look", check, runs, kept)
    goals = [
        absolute_time("finial --help, processor time", help_s, HELP_GOAL_S, " s"),
        absolute_time("finial check, first look, processor time", first_s, LOOK_GOAL_S, " s"),
        absolute_time("finial check, second look, wall time", wall_s, CHECK_GOAL_S, " s"),
        absolute_time("finial check, second look, processor time", cpu_s, CHECK_GOAL_S, " s"),
        ratio(
            "finial check, second look over the quick one, processor time",
            cpu_s / quick_s,
            "at most",
            1.0,
            1.0,
        ),
        steady("first and second looks that differ", int(first != said), "exactly", 0),
    ]
    with tempfile.TemporaryDirectory() as pictures:
        for look in LONG_LOOKS:
            command = [*finial, look, str(DEMO), "--quiet", "--plots", pictures]
            _, cpu_s, _ = spread(f"finial {look}, warm", command, long_runs)
            goals.append(absolute_time(f"finial {look}, warm, processor time", cpu_s, LOOK_GOAL_S, " s"))
    answer = json.loads(said)
    print(f"verdict {answer['verdict']}, apogee {answer['flight']['apogee_agl']['value']:.1f} m")
    return judged(goals, given)


if __name__ == "__main__":
    sys.exit(main())
