"""What the page may ask about its variants: keep one, take one away, compare two or three."""

from collections.abc import Mapping
from dataclasses import asdict

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from finial.assemble.vehicle.changes import Changes
from finial.core.errors import OutsideRange
from finial.core.trees import is_list, is_table
from finial.files.typed import Typed
from finial.files.variants import Variants
from finial.findings.readiness import Readiness
from finial.web.compare import Compared, PageCompared, compared
from finial.web.looks import LookState, WholeLooks
from finial.web.question import json_object
from finial.web.records import PageVariant, PageVariants
from finial.web.replies import fresh, json_body
from finial.web.served_page import ServedPage

FEWEST, MOST = 2, 3
_NO_SHEET = "this page has no sheet to fill in"
AS_WRITTEN = ""
"""Stands for the sheet itself among the names to compare."""


class VariantAnswers:
    """Keep, list, take away and compare variants of the sheet."""

    def __init__(self, page: ServedPage, variants: Variants, looks: WholeLooks) -> None:
        self._page, self._variants, self._looks = page, variants, looks

    def routes(self) -> list[Route]:
        """Addresses under ``/api/variants``."""
        return [
            Route("/api/variants", self.listed),
            Route("/api/variants/keep", self.keep, methods=["POST"]),
            Route("/api/variants/forget", self.forget, methods=["POST"]),
            Route("/api/variants/compare", self.compare, methods=["POST"]),
        ]

    async def listed(self, request: Request) -> Response:
        """List every variant."""
        return await self._all()

    async def keep(self, request: Request) -> Response:
        """Keep what is tried on the page under a name."""
        given = json_object(await json_body(request))
        await run_in_threadpool(self._kept, given)
        return await self._all()

    async def forget(self, request: Request) -> Response:
        """Take one away."""
        given = json_object(await json_body(request))
        await run_in_threadpool(self._variants.forget, _name(given))
        return await self._all()

    async def compare(self, request: Request) -> Response:
        """Answer each, and compare: by the quick look one at a time, or by whole looks taken in jobs."""
        given = json_object(await json_body(request))
        names, whole, start = _names(given), _yes(given, "whole"), _yes(given, "start")
        if whole:
            return fresh(JSONResponse(asdict(await run_in_threadpool(self._wholly, names, start))))
        several: list[Compared] = []
        for name in names:
            async with self._page.one_at_a_time:
                several.append(await run_in_threadpool(self._answered, name))
        return fresh(JSONResponse(asdict(PageCompared(found=compared(several), on_their_way=0))))

    def _kept(self, given: Mapping[str, object]) -> None:
        tried = given.get("tried", {})
        if not is_table(tried):
            raise OutsideRange("'tried' must be an object")
        changes = self._page.changes(tried)
        desk = self._page.session.desk
        typed = desk.typed(changes) if desk and changes else None
        if not typed:
            raise OutsideRange("nothing is tried: move a slider or type into the sheet first")
        self._variants.keep(_name(given), typed)

    def _answered(self, name: str) -> Compared:
        change, changes = self._change(name)
        quickly = self._page.session.quickly
        if quickly is None:
            raise OutsideRange(_NO_SHEET)
        return self._named(name, change, quickly(changes))

    def _wholly(self, names: list[str], start: bool) -> PageCompared:
        """Compare once every whole look is taken; until then say how many are on their way."""
        each = [(name, *self._change(name)) for name in names]
        looks = [self._looks.at(changes, start=start) for _, _, changes in each]
        ended = next((one for one in looks if one.state is LookState.NOT_TAKEN), None)
        if ended is not None:
            raise OutsideRange(ended.message or "A whole look was taken away before it ended: ask again.")
        several = [
            self._named(name, change, look.answer)
            for (name, change, _), look in zip(each, looks, strict=True)
            if look.answer is not None
        ]
        missing = len(names) - len(several)
        return PageCompared(found=None if missing else compared(several), on_their_way=missing)

    def _change(self, name: str) -> tuple[Typed, Changes]:
        change: Typed = {} if name == AS_WRITTEN else self._variants.named(name).change
        desk = self._page.session.desk
        if desk is None:
            raise OutsideRange(_NO_SHEET)
        return change, desk.changes(change)

    async def _all(self) -> Response:
        return fresh(JSONResponse(asdict(await run_in_threadpool(self._listed))))

    def _listed(self) -> PageVariants:
        return PageVariants(
            variants=tuple(
                PageVariant(name=one.name, change=one.change, said=self._said(one.change))
                for one in self._variants.kept()
            )
        )

    def _said(self, change: Typed) -> tuple[str, ...]:
        desk = self._page.session.desk
        return desk.said(change) if desk else ()

    def _named(self, name: str, change: Typed, answer: Readiness) -> Compared:
        return Compared(name=name or "the sheet as saved", change=self._said(change), answer=answer)


def _yes(given: Mapping[str, object], key: str) -> bool:
    said = given.get(key, False)
    if not isinstance(said, bool):
        raise OutsideRange(f"{key!r} must be true or false")
    return said


def _name(given: Mapping[str, object]) -> str:
    name = given.get("name")
    if not isinstance(name, str):
        raise OutsideRange("'name' must be a text")
    return name


def _names(given: Mapping[str, object]) -> list[str]:
    names = given.get("names")
    if not is_list(names) or not all(isinstance(one, str) for one in names):
        raise OutsideRange("'names' must be a list of texts")
    told = [str(one) for one in names]
    if not FEWEST <= len(set(told)) == len(told) <= MOST:
        raise OutsideRange(f"compare {FEWEST} or {MOST} different ones")
    return told
