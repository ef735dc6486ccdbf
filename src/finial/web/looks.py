"""Whole looks at what is tried: those taken before are found, the others are jobs of the page."""

from dataclasses import dataclass, replace
from enum import StrEnum

from finial.assemble.vehicle.changes import Changes
from finial.findings.readiness import Readiness
from finial.web.jobs.kinds import LOOK
from finial.web.jobs.queue import JobQueue
from finial.web.jobs.records import JobState, JobView
from finial.web.served_page import ServedPage

OPEN = frozenset({JobState.WAITING, JobState.RUNNING})


class LookState(StrEnum):
    """Whether the whole look at what is tried was taken."""

    TAKEN = "taken"
    ON_ITS_WAY = "on its way"
    NOT_TAKEN = "not taken"


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedLook:
    """Where the whole look stands; ``answer`` is there once it is taken."""

    state: LookState
    answer: Readiness | None = None
    message: str = ""
    """Why it ended early; empty otherwise."""


AS_SAVED = TriedLook(state=LookState.TAKEN)
"""Of the sheet as saved the whole look is taken when the page opens."""


class WholeLooks:
    """Find whole answers to what is tried, and have the missing ones made."""

    def __init__(self, page: ServedPage, queue: JobQueue) -> None:
        self._page, self._queue = page, queue

    def at(self, changes: Changes, *, start: bool) -> TriedLook:
        """Look at the sheet with changes; ``start`` has a look begun that nobody took yet."""
        session = self._page.session
        if not changes:
            return replace(AS_SAVED, answer=session.as_written)
        found = session.whole(changes) if session.whole else None
        if found is not None:
            return TriedLook(state=LookState.TAKEN, answer=found)
        if start:
            self._begin(changes)
            return TriedLook(state=LookState.ON_ITS_WAY)
        job = self._queue.latest(LOOK, changes)
        if job is None:
            return TriedLook(state=LookState.NOT_TAKEN)
        if job.state not in OPEN:
            return TriedLook(state=LookState.NOT_TAKEN, message=_ended(job))
        return TriedLook(state=LookState.ON_ITS_WAY)

    def _begin(self, changes: Changes) -> None:
        job = self._queue.latest(LOOK, changes)
        if job is None or job.state not in OPEN:
            self._queue.start(LOOK, {}, changes)


def _ended(job: JobView) -> str:
    if job.state is JobState.DONE:
        return "The whole look was taken, but of another sheet: read the sheet again."
    return f"The whole look ended early ({job.state}){f': {job.message}' if job.message else ''}."
