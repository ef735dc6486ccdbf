"""What the page may ask about a draft: its text edited, saved, and what is written beside it."""

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from finial.files.source import toml_from
from finial.files.write import why_not_written
from finial.web.drafts.draft import Draft
from finial.web.drafts.edits import edited, read_edits
from finial.web.drafts.records import DraftWritten
from finial.web.frame import framed
from finial.web.question import json_object
from finial.web.replies import asked_as, fresh

_NOBODY_WAITS = 499
Follow = Callable[[Path], None]
"""Serves another file in place of the draft."""
Writers = Mapping[str, Callable[[Draft, Mapping[str, object]], DraftWritten]]
"""What may be written beside a draft, by its name."""
_NO_WRITERS: Writers = {}


def draft_app(
    draft: Draft, writers: Writers, *, port: int, key: str, follow: Follow | None = None
) -> Starlette:
    """Return the application that serves one draft on ``port`` of this machine to whoever has the key."""
    answers = DraftAnswers(lambda: draft, writers, follow)
    routes = [
        Route("/api/vehicle", answers.page),
        Route("/api/mesh", _no_hull),
        *answers.routes("/api"),
        Route("/api/draft/write/{name}", answers.write, methods=["POST"]),
    ]
    return framed(routes, port=port, key=key)


class DraftAnswers:
    """Answer for one file; ``draft`` is asked each time which it is."""

    def __init__(
        self, draft: Callable[[], Draft], writers: Writers = _NO_WRITERS, follow: Follow | None = None
    ) -> None:
        self._of, self._writers, self._follow = draft, writers, follow
        self._one_at_a_time = asyncio.Lock()

    def routes(self, under: str) -> list[BaseRoute]:
        """Addresses to look again, edit and save."""
        return [
            Route(f"{under}/revision", self.revision),
            Route(f"{under}/draft", self.edit, methods=["POST"]),
            Route(f"{under}/draft/save", self.save, methods=["POST"]),
        ]

    @property
    def _draft(self) -> Draft:
        return self._of()

    async def page(self, request: Request) -> Response:
        """Tell the file as it stands, or as it begins."""
        us_units = request.query_params.get("units") == "us"
        return await self._told(request, lambda: self._draft.page(self._draft.source(), us_units=us_units))

    async def revision(self, request: Request) -> Response:
        """Tell the revision of the file on disk."""
        return fresh(JSONResponse({"revision": await run_in_threadpool(self._draft.revision)}))

    async def edit(self, request: Request) -> Response:
        """Tell a text after what is done to it."""
        text, edits = await asked_as(request, lambda body: read_edits(json_object(body)))
        us_units = request.query_params.get("units") == "us"

        def told() -> dict[str, Any]:
            draft = self._draft
            source = edited(toml_from(draft.path, text), edits, draft.file, draft.start)
            return draft.page(source, us_units=us_units)

        return await self._told(request, told)

    async def save(self, request: Request) -> Response:
        """Write a text, if the file is still of the revision that was shown."""
        given = await asked_as(request, json_object)
        text, revision = given.get("text"), given.get("revision")
        if not isinstance(text, str) or not isinstance(revision, str):
            raise HTTPException(400, "'text' and 'revision' must be texts")

        def saved() -> dict[str, Any]:
            self._draft.save(text, revision)
            return {"revision": self._draft.revision()}

        return await self._told(request, saved)

    async def write(self, request: Request) -> Response:
        """Write what follows from the file as it is saved."""
        given = await asked_as(request, json_object)
        revision = given.get("revision")
        writer = self._writers.get(request.path_params["name"])
        if writer is None:
            raise HTTPException(404, "there is nothing of that name to write")
        if not isinstance(revision, str):
            raise HTTPException(400, "'revision' must be a text")

        def written() -> dict[str, Any]:
            self._draft.require(revision)
            told = writer(self._draft, given)
            if not told.leads_on or self._follow is None:
                return asdict(replace(told, leads_on=""))
            self._follow(self._draft.path.parent / told.leads_on)
            return asdict(told)

        return await self._told(request, written)

    async def _told(self, request: Request, tell: Callable[[], dict[str, Any]]) -> Response:
        async with self._one_at_a_time:
            if await request.is_disconnected():
                return Response(status_code=_NOBODY_WAITS)
            try:
                return fresh(JSONResponse(await run_in_threadpool(tell)))
            except OSError as fault:
                raise HTTPException(422, f"{fault.filename}: {why_not_written(fault)}") from fault


async def _no_hull(request: Request) -> Response:
    """Answer whoever asks for a hull before it knows what is opened here."""
    return fresh(Response(status_code=204))
