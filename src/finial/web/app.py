"""The page's server: the built files, the vehicle, its hull and section, and answers to questions."""

import asyncio
import math
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from finial.assemble.vehicle.changes import Changes
from finial.core.errors import MissingData
from finial.files.variants import Variants
from finial.findings.begun import Begun
from finial.findings.readiness import Readiness
from finial.web.across import cut_across
from finial.web.along import along_body
from finial.web.begun import begun_payload
from finial.web.controls import BallastControl, ballast_controls, fin_control
from finial.web.desk import Desk
from finial.web.drafts.routes import DraftAnswers
from finial.web.drafts.site import site_draft
from finial.web.flights import flown_routes
from finial.web.flow import FlowAnswers
from finial.web.frame import framed
from finial.web.hull import DRAWN_FACES, MOST_FACES, hull_bytes, hull_mesh, mesh_bytes, thinned
from finial.web.inside import has_section, inside_svg
from finial.web.jobs.queue import JobQueue
from finial.web.jobs.routes import JobAnswers
from finial.web.landings import LandingAnswers
from finial.web.looks import AS_SAVED, WholeLooks
from finial.web.moving.all import moving
from finial.web.payload import answer_text, as_json, finding_way, plain, vehicle_payload
from finial.web.pressure import PressureAnswers
from finial.web.question import (
    json_object,
    question_in,
    read_adding,
    read_question,
    read_saving,
    read_taking_away,
)
from finial.web.replies import asked_as, fresh, json_body
from finial.web.scale import ScaleAnswers
from finial.web.session import BegunSession, PageQuestion, Session
from finial.web.share_routes import ShareAnswers
from finial.web.stages import Staged, staged
from finial.web.variant_routes import VariantAnswers

_NO_SHEET = "this page has no sheet to fill in"
_ONLY_BEGUN = "the sheet is only begun: write what it lacks first"
_NOBODY_WAITS = 499
"""For the server's own eyes: the one who asked has gone; common practice of web servers."""


def create_app(session: Session | BegunSession, *, port: int, key: str) -> Starlette:
    """Return the application that serves one vehicle on ``port`` of this machine to whoever has the key."""
    queue = JobQueue(session.desk.path) if session.desk else None
    answers = _Answers(session, queue)
    jobs = JobAnswers(queue, answers.changes).routes() if queue else []
    kept = Variants.of_sheet(session.desk.path) if session.desk else None
    variants = VariantAnswers(answers, kept, answers.looks).routes() if kept and answers.looks else []
    landings = LandingAnswers(answers, session.desk.path, queue.campaigns) if session.desk and queue else None
    flown = flown_routes(session.desk.path, answers.shows_us) if session.desk else []
    routes = [
        *(_site_routes(session.desk.path) if session.desk else []),
        Route("/api/vehicle", answers.vehicle),
        Route("/api/mesh", answers.mesh),
        Route("/api/inside", answers.inside),
        Route("/api/what-if", answers.what_if, methods=["POST"]),
        Route("/api/along", answers.along, methods=["POST"]),
        Route("/api/across", answers.across, methods=["POST"]),
        Route("/api/ways/{key}", _way),
        Route("/api/moving", answers.moving, methods=["POST"]),
        Route("/api/stages", answers.stages),
        Route("/api/stages/{name}", answers.stage_picture),
        Route("/api/sheet", answers.sheet),
        Route("/api/revision", answers.revision),
        Route("/api/save", answers.save, methods=["POST"]),
        Route("/api/add", answers.add, methods=["POST"]),
        Route("/api/take-away", answers.take_away, methods=["POST"]),
        Route("/api/read-again", answers.read_again, methods=["POST"]),
        *ScaleAnswers(answers).routes(),
        *jobs,
        *variants,
        *flown,
        *(landings.routes() if landings else []),
        *PressureAnswers(answers).routes(),
        *FlowAnswers(answers).routes(),
        *ShareAnswers(answers, landings).routes(),
    ]
    close = queue.close if queue else None
    return framed(routes, port=port, key=key, begin=answers.tell_ahead, close=close)


def _site_routes(sheet: Path) -> list[BaseRoute]:
    """Fill in the site's file that the sheet names just then."""
    answers = DraftAnswers(lambda: site_draft(sheet))
    return [Route("/api/site", answers.page), *answers.routes("/api/site")]


class _Answers:
    """What the page may ask about its vehicle and its build sheet."""

    def __init__(self, session: Session | BegunSession, queue: JobQueue | None) -> None:
        self.looks = WholeLooks(self, queue) if queue else None
        # The compiled parts use every core already: two answers at once would only slow each other. Those who
        # wait hold no thread, or files would wait with them.
        self.one_at_a_time = asyncio.Lock()
        self._take(session)

    def _take(self, opened: Session | BegunSession) -> None:
        self._opened = opened
        self._ballast: tuple[BallastControl, ...] = ()
        self._has_fins = False
        self._kept: _Kept | None = None
        if isinstance(opened, Session):
            self._ballast = ballast_controls(opened.as_written)
            self._has_fins = fin_control(opened.as_written) is not None
            self._kept = _kept_of(opened)

    def tell_ahead(self) -> None:
        """Work out what the page asks for first: nobody waits for it then."""
        if self._kept is not None:
            self._kept.vehicle(self.session.as_written.us_units)

    @property
    def session(self) -> Session:
        """The whole answer.

        Raises
        ------
        HTTPException
            If the sheet is only begun.
        """
        if isinstance(self._opened, BegunSession):
            raise HTTPException(409, _ONLY_BEGUN)
        return self._opened

    @property
    def opened(self) -> Session | BegunSession:
        """The answer, whole or begun."""
        return self._opened

    @property
    def _whole(self) -> "_Kept":
        """What is kept of the whole answer; refused where the sheet is only begun."""
        if self._kept is None:
            raise HTTPException(409, _ONLY_BEGUN)
        return self._kept

    async def vehicle(self, request: Request) -> Response:
        if isinstance(self._opened, BegunSession):
            return await self._begun(request, self._opened, lambda opened: opened.begun)
        return fresh(JSONResponse(await run_in_threadpool(self._whole.vehicle, self.shows_us(request))))

    async def mesh(self, request: Request) -> Response:
        opened = self._opened
        shape = opened.begun.shape if isinstance(opened, BegunSession) else None
        drawing = request.query_params.get("for") == "drawing"

        def hull() -> bytes:
            if shape is None:
                return self._whole.hull(drawing)
            return hull_bytes(shape, most_faces=DRAWN_FACES if drawing else MOST_FACES)

        content = await run_in_threadpool(hull)
        return fresh(Response(content, media_type="application/octet-stream"))

    async def inside(self, request: Request) -> Response:
        if not has_section(self.session.as_written):
            raise HTTPException(404, "there is no shape to cut")
        content = await run_in_threadpool(self._whole.section, self.shows_us(request))
        return fresh(Response(content, media_type="image/svg+xml"))

    async def _begun(
        self, request: Request, opened: BegunSession, ask: Callable[[BegunSession], Begun]
    ) -> Response:
        """Answer what is begun, in the units asked for."""
        us_units = self.shows_us(request)

        def told() -> dict[str, Any]:
            return begun_payload(replace(ask(opened), us_units=us_units), opened.missing)

        return fresh(JSONResponse(await run_in_threadpool(told)))

    async def what_if(self, request: Request) -> Response:
        opened, us_units = self._opened, self.shows_us(request)
        if isinstance(opened, BegunSession):
            tried = (await self._question(request, opened.desk)).sheet
            return await self._begun(request, opened, lambda one: one.tried(tried))
        return await self._answered(
            request,
            lambda question: answer_text(
                in_units(self.session.answer(question), us_units), self.session.mends
            ),
        )

    async def along(self, request: Request) -> Response:
        us_units = self.shows_us(request)
        return await self._answered(
            request,
            lambda question: as_json(plain(along_body(in_units(self.session.answer(question), us_units)))),
        )

    async def across(self, request: Request) -> Response:
        us_units, station_m = self.shows_us(request), asked_station(request)
        return await self._answered(
            request,
            lambda question: as_json(
                plain(cut_across(in_units(self.session.answer(question), us_units), station_m))
            ),
        )

    async def moving(self, request: Request) -> Response:
        us_units, start = self.shows_us(request), request.query_params.get("start") == "yes"
        tried = json_object(await json_body(request))
        async with self.one_at_a_time:
            return fresh(JSONResponse(await run_in_threadpool(self._moved, tried, us_units, start)))

    def _moved(self, tried: Mapping[str, object], us_units: bool, start: bool) -> dict[str, Any]:
        """Tell what moves of what is tried: by its whole look if that was taken, else the flight alone."""
        changes = self.changes(tried)
        if not changes or self.looks is None:
            return self._whole.moving(us_units)
        look = self.looks.at(changes, start=start)
        answer = look.answer or self.session.answer(self._asked(tried))
        return plain(moving(in_units(answer, us_units), look))

    async def stages(self, request: Request) -> Response:
        found = await run_in_threadpool(self._whole.staged, self.shows_us(request))
        return fresh(JSONResponse(asdict(found.told)))

    async def stage_picture(self, request: Request) -> Response:
        found = await run_in_threadpool(self._whole.staged, self.shows_us(request))
        try:
            drawn = found.picture(request.path_params["name"].removesuffix(".svg"))
        except MissingData as fault:
            raise HTTPException(404, str(fault)) from fault
        return fresh(Response(drawn, media_type="image/svg+xml"))

    async def _answered(self, request: Request, tell: Callable[[PageQuestion], str]) -> Response:
        question = await self._question(request, self.session.desk)
        async with self.one_at_a_time:
            # A slider that is dragged asks more than anybody waits for.
            if await request.is_disconnected():
                return Response(status_code=_NOBODY_WAITS)
            told = await run_in_threadpool(tell, question)
            return fresh(Response(told, media_type="application/json"))

    async def _question(self, request: Request, desk: Desk | None) -> PageQuestion:
        return await asked_as(
            request, lambda body: read_question(body, self._ballast, has_fins=self._has_fins, desk=desk)
        )

    def shows_us(self, request: Request) -> bool:
        """Whether US units are asked for; the sheet's own where nothing is."""
        asked = request.query_params.get("units")
        opened = self._opened
        own = opened.begun if isinstance(opened, BegunSession) else opened.as_written
        return own.us_units if asked is None else asked == "us"

    async def sheet(self, request: Request) -> Response:
        return fresh(JSONResponse(await run_in_threadpool(self._desk.form)))

    async def revision(self, request: Request) -> Response:
        return fresh(JSONResponse({"revision": await run_in_threadpool(self._desk.revision)}))

    async def save(self, request: Request) -> Response:
        typed, revision = await asked_as(request, read_saving)
        async with self.one_at_a_time:
            await run_in_threadpool(self._desk.save, typed, revision)
            return await self._read()

    async def add(self, request: Request) -> Response:
        adding, revision = await asked_as(request, read_adding)
        async with self.one_at_a_time:
            await run_in_threadpool(self._desk.add, adding, revision)
            return await self._read()

    async def take_away(self, request: Request) -> Response:
        place, revision = await asked_as(request, read_taking_away)
        async with self.one_at_a_time:
            await run_in_threadpool(self._desk.take_away, place, revision)
            return await self._read()

    async def read_again(self, request: Request) -> Response:
        await json_body(request)
        async with self.one_at_a_time:
            return await self._read()

    async def _read(self) -> Response:
        if self._opened.read_again is None:
            raise HTTPException(404, _NO_SHEET)
        self._take(await run_in_threadpool(self._opened.read_again))
        return fresh(JSONResponse({"revision": await run_in_threadpool(self._desk.revision)}))

    def changes(self, tried: Mapping[str, object]) -> Changes:
        """Turn what is tried on the page into changes of the sheet, and have its reader look at them."""
        question = self._asked(tried)
        if isinstance(self._opened, BegunSession):
            return question.sheet
        if self.session.changes is None:
            return {}
        changes = self.session.changes(question)
        if changes:
            self._desk.refuse(changes)
        return changes

    def _asked(self, tried: Mapping[str, object]) -> PageQuestion:
        return question_in(tried, self._ballast, has_fins=self._has_fins, desk=self._opened.desk)

    @property
    def _desk(self) -> Desk:
        if self._opened.desk is None:
            raise HTTPException(404, _NO_SHEET)
        return self._opened.desk


Told = TypeVar("Told")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """What is made once of a whole answer, when it is first asked for; by units."""

    vehicle: Callable[[bool], dict[str, Any]]
    staged: Callable[[bool], Staged]
    section: Callable[[bool], str]
    moving: Callable[[bool], dict[str, Any]]
    hull: Callable[[bool], bytes]
    """As it is shown, or with as few triangles as a drawing needs."""


def _kept_of(session: Session) -> _Kept:
    def by_units(tell: Callable[[Readiness], Told]) -> Callable[[bool], Told]:
        def told(us_units: bool) -> Told:
            return tell(in_units(session.as_written, us_units))

        return cache(told)

    # A hull of a million triangles takes a second: it is made while the browser starts.
    with_few = ThreadPoolExecutor(1)
    shown = with_few.submit(lambda: thinned(*hull_mesh(session.as_written.shape), most_faces=MOST_FACES))
    with_few.shutdown(wait=False)

    def hull(drawing: bool) -> bytes:
        mesh = shown.result()
        return mesh_bytes(*(thinned(*mesh, most_faces=DRAWN_FACES) if drawing else mesh))

    return _Kept(
        vehicle=by_units(lambda shown: vehicle_payload(shown, session.mends)),
        staged=by_units(staged),
        section=by_units(inside_svg),
        moving=by_units(lambda shown: plain(moving(shown, AS_SAVED))),
        hull=cache(hull),
    )


def asked_station(request: Request) -> float:
    """Return the station that the address asks for [m]."""
    try:
        station_m = float(request.query_params.get("station_m", ""))
    except ValueError as fault:
        raise HTTPException(400, "'station_m' must be a number of metres") from fault
    if not math.isfinite(station_m):
        raise HTTPException(400, "'station_m' must be finite")
    return station_m


def in_units(readiness: Readiness, us_units: bool) -> Readiness:
    """Return the same answer, shown in other units."""
    return readiness if readiness.us_units == us_units else replace(readiness, us_units=us_units)


async def _way(request: Request) -> Response:
    try:
        return fresh(JSONResponse(asdict(finding_way(request.path_params["key"]))))
    except MissingData as fault:
        raise HTTPException(404, str(fault)) from fault
