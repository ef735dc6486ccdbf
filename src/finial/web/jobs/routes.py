"""What the page may ask about its long jobs."""

from collections.abc import Callable, Mapping
from dataclasses import asdict

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from finial.assemble.vehicle.changes import Changes
from finial.core.errors import OutsideRange
from finial.core.trees import is_table
from finial.web.jobs.queue import JobQueue
from finial.web.jobs.records import JobRefused
from finial.web.question import json_object
from finial.web.replies import asked_as, fresh, json_body

ReadChanges = Callable[[Mapping[str, object]], Changes]
"""Reads what is tried on the page, checked as a question of it is."""


class JobAnswers:
    """Start, watch, stop and take away jobs."""

    def __init__(self, queue: JobQueue, read_changes: ReadChanges) -> None:
        self._queue = queue
        self._read_changes = read_changes

    def routes(self) -> list[Route]:
        """Addresses under ``/api/jobs``."""
        return [
            Route("/api/jobs", self.listed),
            Route("/api/jobs/start", self.start, methods=["POST"]),
            Route("/api/jobs/at-once", self.at_once, methods=["POST"]),
            Route("/api/jobs/{job}/{act:str}", self.act, methods=["POST"]),
            Route("/api/jobs/{job}/result", self.result),
            Route("/api/jobs/{job}/pictures/{name}", self.picture),
        ]

    async def listed(self, request: Request) -> Response:
        """List every job and kind."""
        return await self._all()

    async def start(self, request: Request) -> Response:
        """Put a job into the queue."""
        try:
            kind, settings, tried = asked_of(json_object(await json_body(request)))
            changes = await run_in_threadpool(self._read_changes, tried)
        except OutsideRange as fault:
            raise HTTPException(400, str(fault)) from fault
        await run_in_threadpool(self._queue.start, kind, settings, changes)
        return await self._all()

    async def at_once(self, request: Request) -> Response:
        """Set how many may run beside each other."""
        count = await asked_as(request, lambda body: _whole(json_object(body).get("count"), "count"))
        await run_in_threadpool(self._queue.set_at_once, count)
        return await self._all()

    async def act(self, request: Request) -> Response:
        """Cancel a job, go on with it, or take it away."""
        await json_body(request)
        acts = {"cancel": self._queue.cancel, "go-on": self._queue.go_on, "forget": self._queue.forget}
        act = acts.get(request.path_params["act"])
        if act is None:
            raise HTTPException(404, "there is nothing of that name to do")
        await run_in_threadpool(act, request.path_params["job"])
        return await self._all()

    async def result(self, request: Request) -> Response:
        """Return what a job found."""
        try:
            found = await run_in_threadpool(self._queue.result, request.path_params["job"])
        except JobRefused as fault:
            raise HTTPException(404, str(fault)) from fault
        return fresh(JSONResponse(found))

    async def picture(self, request: Request) -> Response:
        """Return one of its pictures."""
        name = request.path_params["name"].removesuffix(".svg")
        try:
            path = await run_in_threadpool(self._queue.picture, request.path_params["job"], name)
        except JobRefused as fault:
            raise HTTPException(404, str(fault)) from fault
        return fresh(FileResponse(path, media_type="image/svg+xml"))

    async def _all(self) -> Response:
        return fresh(JSONResponse(asdict(await run_in_threadpool(self._queue.listed))))


def asked_of(given: Mapping[str, object]) -> tuple[str, dict[str, int], Mapping[str, object]]:
    """Read ``{"kind": name, "settings": {name: whole number}, "tried": question}``."""
    kind, settings, tried = given.get("kind"), given.get("settings", {}), given.get("tried", {})
    if not isinstance(kind, str) or not is_table(settings) or not is_table(tried):
        raise OutsideRange("a job is a 'kind', 'settings' and what is 'tried'")
    return kind, {name: _whole(value, name) for name, value in settings.items()}, tried


def _whole(value: object, name: str) -> int:
    # Every number of a question is read as a float.
    if not isinstance(value, float) or not value.is_integer() or abs(value) > 1e9:
        raise OutsideRange(f"{name}: give a whole number")
    return int(value)
