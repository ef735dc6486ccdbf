"""Put small faults into the code, one at a time, and see whether the tests beside it notice.

``python -m bench.mutations --count 400 --jobs 16`` from the checkout, with Python 3.12 or newer.
The first step runs every test file once and watches which functions it reaches; the second tries
each fault with the tests that reach it: those beside the package first, then the others. Both
steps go on where they were broken off. A fault that no test beside notices is a hole in them;
a few change nothing that could be noticed.
"""

import argparse
import json
import marshal
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from mutations import reached
from mutations.jobs import Job, run_all, slot_environment
from mutations.sites import Site, sample, sites_in, with_fault
from mutations.table import NOT_JUDGED, OUTCOMES, table

ROOT = Path(__file__).resolve().parents[2]
HOOK = str(Path(__file__).resolve().parent / "hook")
FAILED, NOT_GATHERED = 1, 2
"""Exit codes of pytest."""
START_S = 20.0
"""Time for Python to start and to import, on a busy machine."""


def main() -> int:
    given = _options().parse_args()
    stop_at = time.monotonic() + given.stop_after
    scratch: Path = given.scratch
    scratch.mkdir(parents=True, exist_ok=True)
    sites = [site for site in sites_in(ROOT / "src" / "finial") if given.only in ("", site.package)]
    chosen = sample(sites, given.count, given.seed)
    print(f"{len(chosen)} faults chosen", flush=True)
    _compile_kernels(scratch)
    broken = reached.watch(ROOT, scratch, jobs=given.jobs, python=sys.executable)
    print(f"watched; broke off: {', '.join(broken) or 'none'}", flush=True)
    if not given.watch_only:
        _try(chosen, given, scratch, lambda: time.monotonic() < stop_at)
    return _told(chosen, _tried(scratch / "tried.jsonl"), given)


def _options() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m bench.mutations", description=__doc__)
    parser.add_argument("--count", type=int, default=400, help="faults to try, shared among the packages")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", metavar="PACKAGE", help="faults in this package alone")
    parser.add_argument("--jobs", type=int, default=2, help="how many at once")
    parser.add_argument("--budget", type=float, default=25.0, help="seconds of tests for one fault, at most")
    parser.add_argument("--stop-after", type=float, default=1e9, help="begin nothing new after these seconds")
    parser.add_argument("--watch-only", action="store_true", help="see which tests reach what, and stop")
    parser.add_argument("--scratch", type=Path, default=Path(tempfile.gettempdir()) / "finial-mutations")
    parser.add_argument("--output", type=Path, help="a file to write the table to")
    parser.add_argument("--least", type=float, help="end with 1 below this percentage found beside the code")
    return parser


def _compile_kernels(scratch: Path) -> None:
    """Fill the shared cache, so that no fault waits for the compiler."""
    if any((scratch / "cache").glob("*-*")):
        return
    environment = slot_environment(ROOT, scratch, HOOK)(0)
    environment["FINIAL_CACHE_DIR"] = str(scratch / "cache")
    example = str(ROOT / "examples" / "skerry-light" / "skerry-light.toml")
    for command in (["finial", "check", example], ["pytest", "-q", "tests/flight/test_gusty.py"]):
        told = [sys.executable, "-m", *command]
        subprocess.run(told, cwd=ROOT, env=environment, check=False, capture_output=True)


def _try(chosen: Sequence[Site], given: argparse.Namespace, scratch: Path, go_on: Callable[[], bool]) -> None:
    tests = reached.read(scratch, ROOT)
    results = scratch / "tried.jsonl"
    known = _tried(results)
    environment = slot_environment(ROOT, scratch, HOOK)
    todo = [site for site in chosen if site.key not in known]
    for round_name in ("beside", "elsewhere"):
        jobs: list[Job] = []
        for site in todo:
            if known.get(site.key, "") == ("" if round_name == "beside" else "not beside"):
                jobs += _job(site, tests, given, results, round_name)
        # A run that is broken off has then tried some of every package.
        random.Random(given.seed).shuffle(jobs)
        run_all(jobs, environment=environment, root=ROOT, jobs=given.jobs, go_on=go_on)
        known = _tried(results)


def _job(
    site: Site, tests: dict[str, list[reached.Test]], given: argparse.Namespace, results: Path, name: str
) -> list[Job]:
    place = f"{site.file}:{site.function}" if site.function is not None else site.file
    beside, others = reached.chosen(tests.get(place, []), site, given.budget)
    run = beside if name == "beside" else others
    survives = "not beside" if name == "beside" else "survived"
    if not run:
        _keep(results, site, survives if beside or others else "reached by none")
        return []
    code = given.scratch / "code" / f"{abs(hash(site.key))}"
    code.parent.mkdir(exist_ok=True)
    path = ROOT / "src" / site.file
    code.write_bytes(marshal.dumps(compile(with_fault(path, site.place), str(path), "exec")))
    listed = code.with_suffix(".tests")
    listed.write_text("\n".join(test.name for test in run), encoding="utf-8")
    module = site.file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    more = {"MUTANT_MODULE": module, "MUTANT_FILE": str(path), "MUTANT_CODE": str(code)}
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-x",
        "-q",
        "-p",
        "fault_first",
        "-p",
        "no:cacheprovider",
        f"@{listed}",
    ]

    def done(exit_code: int, said: str) -> None:
        found = "found beside" if name == "beside" else "found elsewhere"
        _keep(results, site, judged(exit_code, found=found, unseen=survives), _blamed(said))

    return [Job(command=command, more=more, limit_s=START_S + 4 * reached.cost_s(run), done=done)]


def judged(exit_code: int, *, found: str, unseen: str) -> str:
    """Say what became of a fault. A run that was stopped, or that no test was run in, judges nothing."""
    if exit_code == 0:
        return unseen
    # A module that cannot even be imported ends the run while tests are gathered, which is seen too.
    return found if exit_code in (FAILED, NOT_GATHERED) else NOT_JUDGED


def _blamed(said: str) -> str:
    lines = [line for line in said.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return lines[0][:160] if lines else said.strip().splitlines()[-1][:160] if said.strip() else ""


def _keep(results: Path, site: Site, outcome: str, by: str = "") -> None:
    with results.open("a", encoding="utf-8") as out:
        out.write(json.dumps({"key": site.key, "outcome": outcome, "by": by}) + "\n")


def _tried(results: Path) -> dict[str, str]:
    if not results.is_file():
        return {}
    rows = [json.loads(line) for line in results.read_text(encoding="utf-8").splitlines()]
    return {row["key"]: row["outcome"] for row in rows}


def _told(chosen: Sequence[Site], tried: dict[str, str], given: argparse.Namespace) -> int:
    outcomes = [(site, tried[site.key]) for site in chosen if site.key in tried]
    text = table(outcomes, left=len(chosen) - len(outcomes), seed=given.seed)
    print(text)
    if given.output:
        given.output.write_text(text + "\n", encoding="utf-8")
    counts = Counter(outcome for _, outcome in outcomes if outcome != NOT_JUDGED)
    share = 100 * counts[OUTCOMES[0]] / max(1, counts.total())
    return int(given.least is not None and not share >= given.least)


if __name__ == "__main__":
    sys.exit(main())
