"""How long does a warm ``finial check`` of the demo take, as the builder feels it?

The first run after installing compiles the flight and slices the meshes; what is
timed is the whole process, started anew, once both are kept. The baseline is a
bare interpreter that imports numpy: the least any such command can take.
The verdict and the apogee stand beside the time: a fast wrong answer is no answer.
"""

import argparse
import json
import os
import resource
import statistics
import subprocess
import sys
import time
from pathlib import Path

DEMO = Path(__file__).parents[1] / "examples" / "skerry-light" / "skerry-light.toml"


def timed(command: list[str]) -> tuple[float, float, str]:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=os.environ)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    if done.returncode in (1, 2):
        raise SystemExit(done.stderr)
    return wall, cpu, done.stdout


def spread(name: str, command: list[str], runs: int) -> str:
    timings = [timed(command) for _ in range(runs)]
    walls = sorted(wall for wall, _, _ in timings)
    cpus = sorted(cpu for _, cpu, _ in timings)
    print(
        f"{name:28s} wall {statistics.median(walls):6.3f} s ({walls[0]:.3f} to {walls[-1]:.3f})"
        f"   cpu {statistics.median(cpus):6.3f} s   {runs} runs"
    )
    return timings[-1][2]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true", help="fewer runs, for CI")
    runs = 3 if parser.parse_args().small else 9
    check = [sys.executable, "-m", "finial", "check", str(DEMO), "--json", "--quiet"]
    _, cpu, _ = timed(check)
    print(f"first run in this test: cpu {cpu:.3f} s (warm-up, not counted)")
    spread("import numpy (baseline)", [sys.executable, "-c", "import numpy"], runs)
    answer = json.loads(spread("finial check, warm", check, runs))
    print(f"verdict {answer['verdict']}, apogee {answer['flight']['apogee_agl']['value']:.1f} m")


if __name__ == "__main__":
    main()
