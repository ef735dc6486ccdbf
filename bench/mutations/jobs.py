"""Run commands side by side, each place with a cache folder of its own, each command within a time."""

import os
import queue
import shutil
import signal
import subprocess
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

TIMED_OUT = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A command, its environment, its time limit [s], and who hears its exit code and last words."""

    command: Sequence[str]
    more: Mapping[str, str]
    limit_s: float
    done: Callable[[int, str], None]


def slot_environment(root: Path, scratch: Path, hook: str) -> Callable[[int], dict[str, str]]:
    """Return the environment of each place to run in.

    Kernels are shared by all. Kept answers are not: they know code by what lies on the disk,
    where no fault is.
    """

    def environment(slot: int) -> dict[str, str]:
        shared, own = scratch / "cache", scratch / f"cache-{slot}"
        shutil.rmtree(own, ignore_errors=True)
        own.mkdir(parents=True)
        for folder in shared.iterdir() if shared.is_dir() else ():
            if folder.name != "answers":
                (own / folder.name).symlink_to(folder)
        paths = [hook, str(root / "src"), os.environ.get("PYTHONPATH", "")]
        return {
            **os.environ,
            "PYTHONPATH": os.pathsep.join(path for path in paths if path),
            "FINIAL_CACHE_DIR": str(own),
            "PYTHONHASHSEED": "0",
            "CI": "1",
            "OMP_NUM_THREADS": "1",
            "OPENBLAS_NUM_THREADS": "1",
            "NUMBA_NUM_THREADS": "1",
        }

    return environment


def run_all(
    jobs_to_do: Sequence[Job],
    *,
    environment: Callable[[int], dict[str, str]],
    root: Path,
    jobs: int,
    go_on: Callable[[], bool] = lambda: True,
) -> None:
    """Run all, so many at once; those not begun when ``go_on`` says no are left."""
    slots: queue.SimpleQueue[int] = queue.SimpleQueue()
    for slot in range(jobs):
        slots.put(slot)

    def run(job: Job) -> None:
        if not go_on():
            return
        slot = slots.get()
        try:
            job.done(*_ended(job, {**environment(slot), **job.more}, root))
        finally:
            slots.put(slot)

    with ThreadPoolExecutor(jobs) as pool:
        list(pool.map(run, jobs_to_do))


def _ended(job: Job, environment: dict[str, str], root: Path) -> tuple[int, str]:
    process = subprocess.Popen(
        job.command,
        env=environment,
        cwd=root,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    )
    try:
        said, _ = process.communicate(timeout=job.limit_s)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
        return TIMED_OUT, ""
    return process.returncode, said[-2000:]
