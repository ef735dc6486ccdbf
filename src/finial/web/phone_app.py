"""The day's page for a phone: what was read on the field, and today's verdict."""

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from urllib.parse import parse_qs

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response
from starlette.routing import Route

from finial.assemble.vehicle.changes import Changes
from finial.core.errors import BuildSheetError, FinialError
from finial.findings.readiness import Readiness
from finial.findings.readings import DAY_PLACES, OnScales, read_on_field
from finial.findings.today import Today
from finial.report.checklist import Chapter
from finial.report.field_html import own_file
from finial.report.phone_page import (
    ASK,
    CARD,
    CODE,
    LIST,
    STYLE,
    TICKS,
    DayPage,
    FormField,
    card_page,
    code_page,
    day_page,
    list_page,
)
from finial.web.phone_guard import Codes, OnePhoneOnly, let_in
from finial.web.replies import is_sent_as, limited_body

MOST_BYTES = 8192
"""A filled form is some hundred bytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhoneDay:
    """What the phone may ask about one vehicle."""

    by_sheet: Readiness
    revision: str
    chapters: tuple[Chapter, ...]
    asked: tuple[FormField, ...]
    answer: Callable[[Changes], Today]
    write: Callable[[Changes], None] | None = None
    """Puts what was read into the sheet; ``None`` where that was not asked for."""


def phone_app(day: PhoneDay, *, hosts: frozenset[str], codes: Codes) -> Starlette:
    """Return the application that serves one day to phones that give a code."""
    pages = _Pages(day, codes)
    return Starlette(
        routes=[
            Route("/", pages.home),
            Route(CODE, pages.ask_code),
            Route(CODE, pages.take_code, methods=["POST"]),
            Route(ASK, pages.ask, methods=["POST"]),
            Route(LIST, pages.list),
            Route(CARD, pages.card),
            Route(STYLE, _style),
            Route(TICKS, _ticks),
        ],
        middleware=[Middleware(OnePhoneOnly, hosts=hosts, codes=codes, open_paths=frozenset((CODE, STYLE)))],
        exception_handlers={HTTPException: _refused},
    )


class _Pages:
    """The pages, one answer at a time: it takes every core already."""

    def __init__(self, day: PhoneDay, codes: Codes) -> None:
        self._day = day
        self._codes = codes
        self._one_at_a_time = asyncio.Lock()

    async def home(self, request: Request) -> Response:
        return HTMLResponse(day_page(self._page({}, answered=self._day.by_sheet)))

    async def ask_code(self, request: Request) -> Response:
        return HTMLResponse(code_page(self._day.by_sheet.name, wrong=False))

    async def take_code(self, request: Request) -> Response:
        session = self._codes.opened_by((await _form(request)).get("code", ""))
        if session:
            return let_in(session)
        return HTMLResponse(code_page(self._day.by_sheet.name, wrong=True), status_code=403)

    async def list(self, request: Request) -> Response:
        return HTMLResponse(list_page(self._day.by_sheet.name, self._day.revision, self._day.chapters))

    async def card(self, request: Request) -> Response:
        return HTMLResponse(card_page(self._day.by_sheet.name, self._day.by_sheet))

    async def ask(self, request: Request) -> Response:
        typed = await _form(request)
        write = typed.pop("do", "") == "write"
        if write and self._day.write is None:
            raise HTTPException(403, "this page only reads: start it with --write to keep what was read")
        async with self._one_at_a_time:
            try:
                page = await run_in_threadpool(self._answered, typed, write)
            except FinialError as error:
                told = _told(error)
                return HTMLResponse(day_page(self._page(typed, faults=told)), status_code=422)
        return HTMLResponse(day_page(page))

    def _answered(self, typed: Mapping[str, str], write: bool) -> DayPage:
        read = reading_of(typed, self._day.asked)
        found = self._day.answer(read)
        if write and self._day.write is not None:
            self._day.write(read)
        return self._page(typed, answered=found, written=write)

    def _page(
        self,
        typed: Mapping[str, str],
        *,
        answered: Readiness | Today | None = None,
        faults: tuple[str, ...] = (),
        written: bool = False,
    ) -> DayPage:
        return DayPage(
            name=self._day.by_sheet.name,
            asked=self._day.asked,
            typed=typed,
            us_units=self._day.by_sheet.us_units,
            may_write=self._day.write is not None,
            answered=answered,
            faults=faults,
            written=written,
        )


def reading_of(typed: Mapping[str, str], asked: tuple[FormField, ...]) -> Changes:
    """Turn a filled form into values by their places in the sheet.

    Raises
    ------
    MissingData
        If nothing was read, or a weighing is not told whole.
    """
    told = {one.name: one.written(typed.get(one.name, "")) for one in asked}
    scales = [(told["fore_at"], told["fore_reads"]), (told["aft_at"], told["aft_reads"])]
    across = (told["across_first"], told["across_second"])
    return read_on_field(
        {name: told[name] for name in DAY_PLACES},
        OnScales(
            motor=typed.get("motor", ""),
            mass=told["mass"],
            balance=told["balance"],
            scales=[one for one in scales if any(one)],
            across=across if any(across) else None,
        ),
    )


def _told(error: FinialError) -> tuple[str, ...]:
    """Say what is wrong with what was typed; the sheet's file and line say nothing on a phone."""
    if not isinstance(error, BuildSheetError):
        return (str(error),)
    return tuple(f"{one.field}: {one.given}; accepted: {one.accepted}" for one in error.faults)


async def _form(request: Request) -> dict[str, str]:
    """Read a filled form; nothing longer than a phone would send."""
    if not is_sent_as(request, "application/x-www-form-urlencoded"):
        raise HTTPException(415, "send a filled form")
    body = await limited_body(request, "form", MOST_BYTES)
    return {name: values[-1] for name, values in parse_qs(body.decode("utf-8", "replace")).items()}


async def _style(request: Request) -> Response:
    return Response(own_file("kit.css"), media_type="text/css")


async def _ticks(request: Request) -> Response:
    return Response(own_file("ticks.js"), media_type="text/javascript")


async def _refused(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    return PlainTextResponse(fault.detail, status_code=fault.status_code)
