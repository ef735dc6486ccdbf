"""The page's server: the built files, the vehicle, its hull and section, and answers to questions."""

import asyncio
from collections.abc import Callable
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from finial.core.errors import BuildSheetError, FinialError, OutsideRange
from finial.web.controls import ballast_controls, fin_control
from finial.web.desk import ChangedMeanwhile, Desk
from finial.web.guard import OwnPageOnly
from finial.web.hull import hull_bytes
from finial.web.inside import has_section, inside_svg
from finial.web.payload import answer_payload, vehicle_payload
from finial.web.question import read_question, read_saving
from finial.web.session import PageQuestion, Session

STATIC = Path(__file__).parent / "static"
MOST_BYTES = 65_536
"""A question is a few hundred bytes, with lists typed into the sheet some thousands; more is refused."""
_NO_SHEET = "this page has no sheet to fill in"
_NOBODY_WAITS = 499
"""For the server's own eyes: the one who asked has gone; common practice of web servers."""
_NOT_BUILT = (
    "The page was not built with this copy of Finial. Installing Finial with pip builds it;"
    " in a source checkout, run: python hatch_build.py"
)


def create_app(session: Session, *, port: int) -> Starlette:
    """Return the application that serves one vehicle on ``port`` of this machine."""
    answers = _Answers(session)
    routes = [
        Route("/", _page),
        Route("/api/vehicle", answers.vehicle),
        Route("/api/mesh", answers.mesh),
        Route("/api/inside", answers.inside),
        Route("/api/what-if", answers.what_if, methods=["POST"]),
        Route("/api/sheet", answers.sheet),
        Route("/api/revision", answers.revision),
        Route("/api/save", answers.save, methods=["POST"]),
        Route("/api/read-again", answers.read_again, methods=["POST"]),
        Mount("/static", StaticFiles(directory=STATIC, check_dir=False)),
    ]
    return Starlette(
        routes=routes,
        middleware=[Middleware(OwnPageOnly, port=port)],
        exception_handlers={HTTPException: _refused, FinialError: _not_answered, Exception: _broken},
    )


class _Answers:
    """What the page may ask about its vehicle and its build sheet."""

    def __init__(self, session: Session) -> None:
        # The compiled parts use every core already: two answers at once would only slow each other. Those who
        # wait hold no thread, or files would wait with them.
        self._one_at_a_time = asyncio.Lock()
        self._take(session)

    def _take(self, session: Session) -> None:
        self._session = session
        self._ballast = ballast_controls(session.as_written)
        self._has_fins = fin_control(session.as_written) is not None
        self._vehicle: Callable[[], dict[str, Any]] = cache(
            lambda: vehicle_payload(session.as_written, session.mends)
        )
        self._hull: Callable[[], bytes] = cache(lambda: hull_bytes(session.as_written.shape))
        self._section: Callable[[], str] = cache(lambda: inside_svg(session.as_written))

    async def vehicle(self, request: Request) -> Response:
        return _fresh(JSONResponse(await run_in_threadpool(self._vehicle)))

    async def mesh(self, request: Request) -> Response:
        content = await run_in_threadpool(self._hull)
        return _fresh(Response(content, media_type="application/octet-stream"))

    async def inside(self, request: Request) -> Response:
        if not has_section(self._session.as_written):
            raise HTTPException(404, "there is no shape to cut")
        content = await run_in_threadpool(self._section)
        return _fresh(Response(content, media_type="image/svg+xml"))

    async def what_if(self, request: Request) -> Response:
        body = await _json_body(request)
        try:
            question = read_question(body, self._ballast, has_fins=self._has_fins, desk=self._session.desk)
        except OutsideRange as fault:
            raise HTTPException(400, str(fault)) from fault
        async with self._one_at_a_time:
            # A slider that is dragged asks more than anybody waits for.
            if await request.is_disconnected():
                return Response(status_code=_NOBODY_WAITS)
            return _fresh(JSONResponse(await run_in_threadpool(self._answer, question)))

    async def sheet(self, request: Request) -> Response:
        return _fresh(JSONResponse(await run_in_threadpool(self._desk.form)))

    async def revision(self, request: Request) -> Response:
        return _fresh(JSONResponse({"revision": await run_in_threadpool(self._desk.revision)}))

    async def save(self, request: Request) -> Response:
        try:
            typed, revision = read_saving(await _json_body(request))
        except OutsideRange as fault:
            raise HTTPException(400, str(fault)) from fault
        async with self._one_at_a_time:
            await run_in_threadpool(self._desk.save, typed, revision)
            return await self._read()

    async def read_again(self, request: Request) -> Response:
        await _json_body(request)
        async with self._one_at_a_time:
            return await self._read()

    async def _read(self) -> Response:
        if self._session.read_again is None:
            raise HTTPException(404, _NO_SHEET)
        self._take(await run_in_threadpool(self._session.read_again))
        return _fresh(JSONResponse({"revision": await run_in_threadpool(self._desk.revision)}))

    @property
    def _desk(self) -> Desk:
        if self._session.desk is None:
            raise HTTPException(404, _NO_SHEET)
        return self._session.desk

    def _answer(self, question: PageQuestion) -> dict[str, Any]:
        return answer_payload(self._session.answer(question), self._session.mends)


async def _page(request: Request) -> Response:
    index = STATIC / "index.html"
    if not index.is_file():
        return PlainTextResponse(_NOT_BUILT, status_code=503)
    return _fresh(FileResponse(index, media_type="text/html"))


async def _json_body(request: Request) -> bytes:
    if request.headers.get("content-type", "").partition(";")[0].strip() != "application/json":
        raise HTTPException(415, "send the question as application/json")
    return await _short_body(request)


async def _short_body(request: Request) -> bytes:
    body = bytearray()
    async for chunk in request.stream():
        body += chunk
        if len(body) > MOST_BYTES:
            raise HTTPException(413, f"a question has at most {MOST_BYTES} bytes")
    return bytes(body)


def _fresh(response: Response) -> Response:
    """Mark an answer as not to be kept: another vehicle may be served at this address next."""
    response.headers["Cache-Control"] = "no-store"
    return response


def _refused(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    return JSONResponse({"error": fault.detail}, status_code=fault.status_code, headers=fault.headers)


def _not_answered(request: Request, fault: Exception) -> Response:
    code = 409 if isinstance(fault, ChangedMeanwhile) else 422
    faults = [asdict(one) for one in fault.faults] if isinstance(fault, BuildSheetError) else []
    return JSONResponse({"error": str(fault), "faults": faults}, status_code=code)


def _broken(request: Request, fault: Exception) -> Response:
    """Say a fault of ours in one line; the server goes on, and logs the rest."""
    return JSONResponse({"error": f"Finial failed here: {type(fault).__name__}: {fault}"}, status_code=500)
