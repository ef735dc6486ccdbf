"""The jobs of one sheet: waiting, running, ended; a folder each, so that a restart forgets none."""

import json
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from finial.assemble.vehicle.changes import Changes
from finial.core.cores import usable_cores
from finial.files.read_by import revision_of
from finial.files.write import make_folder
from finial.report.words import counted
from finial.web.jobs.asked import ENDED, FLIGHTS, LOG, PROGRESS, RESULT, AskedJob, read_asked, write_json
from finial.web.jobs.kinds import CAMPAIGN, KINDS
from finial.web.jobs.records import JobKind, JobList, JobRefused, JobState, JobView, Progress, Setting

_ID = re.compile(r"[0-9]{4}-[a-z]+")
_PICTURE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")
_DAMAGED = (OSError, ValueError, KeyError, TypeError, AttributeError)
_LOG_BYTES = 2000
_STOPS_WITHIN_S = 5.0


class JobQueue:
    """Start jobs as cores come free, and tell how each stands."""

    def __init__(self, sheet: Path, *, command: tuple[str, ...] = ()) -> None:
        """Take the sheet whose jobs these are; ``command`` is what works in a folder."""
        self._sheet = sheet
        self._folder = sheet.with_name(f"{sheet.stem}-jobs")
        self._command = command or (sys.executable, "-m", "finial.web.jobs.work")
        self._lock = threading.Lock()
        self._running: dict[str, subprocess.Popen[bytes]] = {}
        self._waiting: list[str] = []
        self._closed = False
        self.cores = usable_cores()
        self.at_once = 1

    def start(self, kind: str, settings: Mapping[str, int], changes: Changes) -> str:
        """Put a job at the end of the queue; return its id.

        Raises
        ------
        JobRefused
            If there is no such kind, or a setting is not one of its own or out of range.
        """
        settings = _settled(kind, settings)
        asked = AskedJob(
            kind=kind,
            settings=settings,
            sheet=str(self._sheet),
            revision=revision_of(self._sheet),
            changes=changes,
        )
        make_folder(self._folder, self._sheet.parent)
        with self._lock:
            job = self._new_id(kind)
            (self._folder / job).mkdir()
            asked.write(self._folder / job)
            self._waiting.append(job)
            self._fill()
        return job

    def cancel(self, job: str) -> None:
        """Stop a job that waits or runs; what it kept stays."""
        with self._lock:
            folder = self._known(job)
            process = self._running.get(job)
            if process is None and job not in self._waiting:
                raise JobRefused("it has ended already")
            if process is None:
                self._waiting.remove(job)
            else:
                _stop(process)
                self._running.pop(job)
            write_json(folder / ENDED, {"state": JobState.CANCELLED, "message": ""})
            self._fill()

    def go_on(self, job: str) -> None:
        """Put a job that ended early into the queue again; it goes on with what it kept."""
        with self._lock:
            folder = self._known(job)
            if self._state(job)[0] not in {JobState.CANCELLED, JobState.STOPPED, JobState.FAILED}:
                raise JobRefused("only what ended early can be gone on with")
            if read_asked(folder).revision != revision_of(self._sheet):
                raise JobRefused("the sheet was changed since: start it anew")
            (folder / ENDED).unlink(missing_ok=True)
            self._waiting.append(job)
            self._fill()

    def forget(self, job: str) -> None:
        """Take a job and everything that it kept away."""
        with self._lock:
            folder = self._known(job)
            if job in self._running or job in self._waiting:
                raise JobRefused("cancel it first")
            shutil.rmtree(folder)

    def set_at_once(self, count: int) -> None:
        """Let so many jobs run beside each other."""
        if not 1 <= count <= self.cores:
            raise JobRefused(f"{count} jobs at once: accepted are 1 to {self.cores}")
        with self._lock:
            self.at_once = count
            self._fill()

    def listed(self) -> JobList:
        """Everything there is to show, newest first."""
        revision = revision_of(self._sheet)
        with self._lock:
            views = [view for job in sorted(self._ids(), reverse=True) for view in self._view(job, revision)]
        kinds: tuple[JobKind, ...] = tuple(entry.kind for entry in KINDS.values())
        return JobList(kinds=kinds, jobs=tuple(views), at_once=self.at_once, cores=self.cores)

    def result(self, job: str) -> dict[str, Any]:
        """Return what a job found."""
        try:
            return json.loads((self._known(job) / RESULT).read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            raise JobRefused("it has no result") from error

    def picture(self, job: str, name: str) -> Path:
        """Return the file of a picture that a job drew."""
        path = self._known(job) / f"{name}.svg"
        if not _PICTURE.fullmatch(name) or not path.is_file():
            raise JobRefused("there is no such picture")
        return path

    def latest(self, kind: str, changes: Changes) -> JobView | None:
        """Find the last job of a kind on the sheet as it now stands, with these changes tried."""
        revision = revision_of(self._sheet)
        with self._lock:
            for job in sorted(self._ids(), reverse=True):
                if job.endswith(f"-{kind}") and self._is_of(job, revision, changes):
                    return next(self._view(job, revision), None)
        return None

    def campaigns(self) -> tuple[Path, ...]:
        """Folders in which campaigns of the page keep their flights."""
        with self._lock:
            jobs = [job for job in self._ids() if job.endswith(f"-{CAMPAIGN}")]
        return tuple(self._folder / job / FLIGHTS for job in jobs)

    def close(self) -> None:
        """Stop everything: what ran can be gone on with."""
        with self._lock:
            self._closed = True
            self._waiting.clear()
            running = list(self._running.values())
        for process in running:
            _stop(process)

    def _fill(self) -> None:
        while self._waiting and len(self._running) < self.at_once and not self._closed:
            job = self._waiting.pop(0)
            self._running[job] = process = self._begun(job)
            threading.Thread(target=self._await, args=(job, process), daemon=True).start()

    def _begun(self, job: str) -> subprocess.Popen[bytes]:
        folder = self._folder / job
        (folder / PROGRESS).unlink(missing_ok=True)
        with (folder / LOG).open("wb") as log:
            # Its standard input stays open as long as this server lives: that is how it knows.
            return subprocess.Popen(
                [*self._command, str(folder)], stdin=subprocess.PIPE, stdout=log, stderr=log
            )

    def _await(self, job: str, process: subprocess.Popen[bytes]) -> None:
        process.wait()
        if process.stdin:
            process.stdin.close()
        with self._lock:
            # A job that was cancelled may have been begun again meanwhile.
            if self._running.get(job) is process:
                del self._running[job]
            self._fill()

    def _new_id(self, kind: str) -> str:
        last = max((int(job[:4]) for job in self._ids()), default=0)
        return f"{last + 1:04}-{kind}"

    def _ids(self) -> Iterator[str]:
        if self._folder.is_dir():
            yield from (path.name for path in self._folder.iterdir() if _ID.fullmatch(path.name))

    def _known(self, job: str) -> Path:
        folder = self._folder / job
        if not _ID.fullmatch(job) or folder.is_symlink() or not folder.is_dir():
            raise JobRefused("there is no such job")
        return folder

    def _is_of(self, job: str, revision: str | None, changes: Changes) -> bool:
        try:
            asked = read_asked(self._folder / job)
        except _DAMAGED:
            return False
        return asked.revision == revision and dict(asked.changes) == dict(changes)

    def _state(self, job: str) -> tuple[JobState, str]:
        if job in self._waiting:
            return JobState.WAITING, ""
        ended = _read(self._folder / job / ENDED)
        if ended is not None:
            return JobState(ended["state"]), str(ended["message"])
        if job in self._running:
            return JobState.RUNNING, ""
        return JobState.STOPPED, _tail(self._folder / job / LOG)

    def _view(self, job: str, revision: str | None) -> Iterator[JobView]:
        folder = self._folder / job
        try:
            asked = read_asked(folder)
            kind = KINDS[asked.kind].kind
            state, message = self._state(job)
            progress = Progress(**_read(folder / PROGRESS) or {})
        except _DAMAGED:
            return
        yield JobView(
            id=job,
            kind=asked.kind,
            title=kind.title,
            about=about(kind, asked),
            state=state,
            progress=progress,
            message=message,
            of_now=asked.revision == revision,
        )


def _stop(process: subprocess.Popen[bytes]) -> None:
    process.terminate()
    try:
        process.wait(timeout=_STOPS_WITHIN_S)
    except subprocess.TimeoutExpired:
        process.kill()


def _settled(kind: str, settings: Mapping[str, int]) -> dict[str, int]:
    if kind not in KINDS:
        raise JobRefused(f"no job is called {kind!r}: there are {', '.join(KINDS)}")
    known = {one.key: one for one in KINDS[kind].kind.settings}
    for name, value in settings.items():
        if name not in known:
            raise JobRefused(f"{kind} has no setting {name!r}")
        if not known[name].low <= value <= known[name].high:
            raise JobRefused(
                f"{known[name].label} = {value}: accepted are {known[name].low} to {known[name].high}"
            )
    return {name: settings.get(name, one.start) for name, one in known.items()}


def about(kind: JobKind, asked: AskedJob) -> str:
    """Say what a job was set to, and what it was started on."""
    told = [
        setting_said(one, asked.settings[one.key])
        for one in kind.settings
        if one.key in asked.settings and (not one.needs or asked.settings.get(one.needs))
    ]
    tried = len(asked.changes)
    on = "the sheet as saved" if not tried else f"the sheet with {counted(tried, 'change')} tried"
    return ", ".join((*told, f"on {on}"))


def setting_said(setting: Setting, value: int) -> str:
    """Say what a job was set to.

    Examples
    --------
    >>> setting_said(Setting(key="n", label="flights", said="{value} flight{s}", start=9, low=1, high=9), 1)
    '1 flight'
    """
    if setting.choices:
        return f"{setting.label} {setting.choices[value]}"
    if setting.nought and value == 0:
        return setting.nought
    if not setting.said:
        return f"{setting.label} {value:,}"
    return setting.said.format(value=f"{value:,}", s="" if value == 1 else "s")


def _read(path: Path) -> dict[str, Any] | None:
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None


def _tail(path: Path) -> str:
    try:
        text = path.read_bytes()[-_LOG_BYTES:].decode(errors="replace").strip()
    except FileNotFoundError:
        return ""
    return text.splitlines()[-1] if text else ""
