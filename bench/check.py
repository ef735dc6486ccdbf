"""How long does a warm ``finial check`` of the demo take, and every other look, as the builder feels it?

The first run after installing compiles the flight and slices the meshes; what is
timed is the whole process, started anew, once both are kept. The baseline is a
bare interpreter that imports numpy: the least any such command can take.
The verdict and the apogee stand beside the time: a fast wrong answer is no answer.
"""

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from goals import absolute_time, judged, options

DEMO = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
CHECK_GOAL_S, LOOK_GOAL_S = 1.0, 6.0
LONG_LOOKS = ("air", "strength", "recovery")


def timed(command: list[str]) -> tuple[float, float, str]:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=os.environ)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    if done.returncode not in (0, 3, 4):
        raise SystemExit(done.stderr)
    return wall, cpu, done.stdout


def spread(name: str, command: list[str], runs: int) -> tuple[float, float, str]:
    """Medians of wall and processor time [s] after one run that does not count, and what was printed."""
    timed(command)
    timings = [timed(command) for _ in range(runs)]
    walls = sorted(wall for wall, _, _ in timings)
    wall, cpu = statistics.median(walls), statistics.median(cpu for _, cpu, _ in timings)
    print(
        f"{name:28s} wall {wall:6.3f} s ({walls[0]:.3f} to {walls[-1]:.3f})   cpu {cpu:6.3f} s   {runs} runs"
    )
    return wall, cpu, timings[-1][2]


def main() -> int:
    given = options(__doc__).parse_args()
    runs, long_runs = (3, 1) if given.small else (9, 5)
    finial = [sys.executable, "-m", "finial"]
    spread("import numpy (baseline)", [sys.executable, "-c", "import numpy"], runs)
    check = [*finial, "check", str(DEMO), "--json", "--quiet"]
    wall_s, _, said = spread("finial check, warm", check, runs)
    goals = [absolute_time("finial check, warm, wall time", wall_s, CHECK_GOAL_S, " s")]
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
