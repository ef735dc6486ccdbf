"""What the page knows of its long jobs."""

from dataclasses import dataclass, field
from enum import StrEnum

from finial.core.errors import FinialError
from finial.files.typed import Typed
from finial.report.document import ReportSection


class JobRefused(FinialError):
    """A job that cannot be started, gone on with or taken away as asked."""


class JobState(StrEnum):
    """Where a job stands."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"
    STOPPED = "stopped"
    """It ended without a word: the server or the machine was stopped. It can be gone on with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One whole number that a kind of job may be given."""

    key: str
    label: str
    start: int
    low: int
    high: int
    said: str = ""
    """How it is said, with ``{value}`` and the ``{s}`` of more than one; empty: by its label."""
    choices: tuple[str, ...] = ()
    """Words for 0, 1 and so on, where it is chosen and not typed."""
    nought: str = ""
    """What 0 says, where that is no number like the others."""
    needs: str = ""
    """Key of the setting without which it has no meaning; empty where it always has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobKind:
    """One kind of job, and what may be set before it starts."""

    key: str
    title: str
    says: str
    settings: tuple[Setting, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a job came; ``share`` is None where nobody can tell."""

    share: float | None = None
    left_s: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobView:
    """One job as the page lists it."""

    id: str
    kind: str
    title: str
    about: str
    """Its settings and on what it was started, in words."""
    state: JobState
    progress: Progress
    message: str
    """Why it failed; empty otherwise."""
    of_now: bool
    """False where the sheet was changed since it was started."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobList:
    """Everything the page shows of its jobs."""

    kinds: tuple[JobKind, ...]
    jobs: tuple[JobView, ...]
    at_once: int
    cores: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TryRow:
    """A change that a job found, to be tried on the page."""

    label: str
    change: Typed


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPicture:
    """A picture that a job drew, and what it shows in words: its name is that of its file."""

    name: str
    title: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a job found: words, tables, pictures as SVG text by name, and changes to try."""

    headline: str
    sections: tuple[ReportSection, ...] = ()
    pictures: dict[str, str] = field(default_factory=dict[str, str])
    tries: tuple[TryRow, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobResult:
    """What a job found, as the page shows it."""

    headline: str
    sections: tuple[ReportSection, ...]
    pictures: tuple[JobPicture, ...]
    tries: tuple[TryRow, ...]
