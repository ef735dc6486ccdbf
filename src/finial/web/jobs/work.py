"""The process of one job: ``python -m finial.web.jobs.work FOLDER``.

It reads what was asked from the folder, writes there how far it came, and at the end what it found. It
ends when its server does: the other end of its standard input closes then, killed or not.
"""

import os
import sys
import threading
import time
import traceback
from dataclasses import asdict, dataclass, field
from pathlib import Path

from finial.core.errors import FinialError
from finial.files.alone import sole_run
from finial.files.write import write_atomically
from finial.web.jobs.asked import ENDED, PROGRESS, RESULT, AskedJob, read_asked, write_json
from finial.web.jobs.records import JobPicture, JobResult, JobState, Outcome, Progress

_NOT_MORE_OFTEN_S = 0.3
_NICE = 10
"""The page goes first: a job takes what nobody else wants."""
_TOLD_AFTER_S = 1.5
"""A time left that is judged by less is no more than noise."""


@dataclass(slots=True)
class Teller:
    """Write how far a job came, not more often than anybody looks."""

    folder: Path
    note_now: str = ""
    share_now: float | None = None
    first: tuple[float, float] | None = None
    last_s: float = field(default=-1e9)

    def note(self, note: str) -> None:
        """Say what it does now."""
        self.note_now = note
        self._write(hurry=True)

    def share(self, share: float) -> None:
        """Say how far it came."""
        if self.first is None:
            self.first = (time.monotonic(), share)
        self.share_now = share
        self._write(hurry=False)

    def left_s(self, now_s: float) -> float | None:
        """Time left at the pace so far, None while nobody can tell."""
        if self.first is None or self.share_now is None:
            return None
        since_s, done = now_s - self.first[0], self.share_now - self.first[1]
        if done <= 0.0 or since_s < _TOLD_AFTER_S:
            return None
        return since_s * (1.0 - self.share_now) / done

    def _write(self, *, hurry: bool) -> None:
        now_s = time.monotonic()
        if not hurry and now_s - self.last_s < _NOT_MORE_OFTEN_S:
            return
        self.last_s = now_s
        told = Progress(share=self.share_now, left_s=self.left_s(now_s), note=self.note_now)
        write_json(self.folder / PROGRESS, asdict(told))


def work(folder: Path) -> None:
    """Do the job of a folder, and write how it ended."""
    teller = Teller(folder=folder)
    try:
        with sole_run(folder):
            keep(folder, _found(read_asked(folder), folder, teller))
        ended = {"state": JobState.DONE, "message": ""}
    except FinialError as error:
        ended = {"state": JobState.FAILED, "message": str(error)}
    except Exception as error:  # noqa: BLE001 - the outermost line: a failure becomes one line on the page
        traceback.print_exc()
        ended = {"state": JobState.FAILED, "message": f"Finial failed here: {type(error).__name__}: {error}"}
    write_json(folder / ENDED, ended)


def keep(folder: Path, outcome: Outcome) -> None:
    """Write what was found: pictures first, so that whoever reads the result finds them."""
    from finial.web.stages import told_picture

    shown = [told_picture(name, drawn) for name, drawn in outcome.pictures.items()]
    for name, drawn in outcome.pictures.items():
        write_atomically(folder / f"{name}.svg", drawn.encode())
    told = JobResult(
        headline=outcome.headline,
        sections=outcome.sections,
        pictures=tuple(JobPicture(name=one.name, title=one.title, says=one.says) for one in shown),
        tries=outcome.tries,
    )
    write_json(folder / RESULT, asdict(told))


def _found(asked: AskedJob, folder: Path, teller: Teller) -> Outcome:
    # Imported late: the page is told that the job began before half a minute of libraries and compiling.
    teller.note("reading the sheet")
    from finial.assemble.vehicle.changes import reread
    from finial.findings.check import load
    from finial.findings.range_stage import codes_of
    from finial.web.jobs.finds import Work
    from finial.web.jobs.kinds import KINDS

    vehicle = load(Path(asked.sheet), tell=teller.note)
    if asked.changes:
        vehicle = reread(vehicle, asked.changes, codes_of)
    told = Work(
        vehicle=vehicle,
        changes=asked.changes,
        settings=asked.settings,
        folder=folder,
        note=teller.note,
        share=teller.share,
    )
    return KINDS[asked.kind].run(told)


def _end_with_the_server() -> None:
    # Below Python's own buffer: a thread that waits in it would keep this process from ending.
    while os.read(0, 1):
        pass
    os._exit(1)


def main() -> None:
    """Work in the folder that the first argument names."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if hasattr(os, "nice"):
        os.nice(_NICE)
    threading.Thread(target=_end_with_the_server, daemon=True).start()
    work(Path(sys.argv[1]))


if __name__ == "__main__":
    main()
