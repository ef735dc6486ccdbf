"""The vehicle at other heights: every height of one slider, and what each is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from finial.core.dimensions import Dimension, find_unit
from finial.core.errors import OutsideRange
from finial.core.trees import is_table
from finial.core.units import parse_quantity
from finial.report.document import ReportSection
from finial.report.scale_text import scale_section
from finial.report.shown import Shown
from finial.sizing.scale import USUAL_ENDS, Scaling, heights, models_of
from finial.web.payload import plain
from finial.web.question import json_object
from finial.web.replies import asked_as, fresh
from finial.web.served_page import ServedPage

STEPS = 58
"""Between half and twice what is drawn, the twentieth of so many is as drawn."""
_NO_SCALING = "this page has no sheet that could be built to another height"


@dataclass(frozen=True, slots=True, kw_only=True)
class PageScale:
    """What the vehicle is at every height of the slider; each is a row of the section's one table."""

    heights_m: tuple[float, ...]
    """Evenly spaced, the lowest first."""
    drawn_m: float
    real_m: float
    unit: str
    unit_m: float
    decimals: int
    section: ReportSection


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleAsked:
    """Height of the real thing, and the ends of the slider; ``None`` for the usual ones."""

    real_m: float
    lowest_m: float | None
    highest_m: float | None
    tried: Mapping[str, object]


class ScaleAnswers:
    """Tell what the vehicle is at other heights."""

    def __init__(self, page: ServedPage) -> None:
        self._page = page

    def routes(self) -> list[Route]:
        """Return the one address."""
        return [Route("/api/scale", self.at_heights, methods=["POST"])]

    async def at_heights(self, request: Request) -> Response:
        """Answer what is tried on the page, at every height."""
        asked = await asked_as(request, lambda body: scale_asked(json_object(body)))
        us_units = self._page.shows_us(request)
        async with self._page.one_at_a_time:
            return fresh(JSONResponse(await run_in_threadpool(self._told, asked, us_units)))

    def _told(self, asked: ScaleAsked, us_units: bool) -> dict[str, object]:
        scaling = self._page.opened.scaling
        if scaling is None:
            raise OutsideRange(_NO_SCALING)
        return plain(page_scale(scaling(self._page.changes(asked.tried)), asked, us_units=us_units))


def scale_asked(given: Mapping[str, object]) -> ScaleAsked:
    """Read ``{"real": "32 m", "lowest": "", "highest": "", "tried": question}``.

    Raises
    ------
    OutsideRange
        If it is no such object.
    UnitError
        If a height is none.
    """
    tried = given.get("tried", {})
    if not is_table(tried):
        raise OutsideRange("'tried' must be an object")
    lowest, highest = (_text(given, name) for name in ("lowest", "highest"))
    return ScaleAsked(
        real_m=_height(_text(given, "real")),
        lowest_m=_height(lowest) if lowest else None,
        highest_m=_height(highest) if highest else None,
        tried=tried,
    )


def _text(given: Mapping[str, object], name: str) -> str:
    told = given.get(name, "")
    if not isinstance(told, str):
        raise OutsideRange(f"{name!r} must be a text")
    return told.strip()


def _height(text: str) -> float:
    return parse_quantity(text, Dimension.LENGTH, above=0.0).value


def page_scale(shape: Scaling, asked: ScaleAsked, *, us_units: bool) -> PageScale:
    """Look at every height of the slider.

    Raises
    ------
    OutsideRange
        If the lowest is not below the highest, or no motor lifts the mass.
    """
    ends = _ends(shape, asked)
    high = heights(ends, STEPS)
    if not ends[0] < ends[1]:
        raise OutsideRange("the lowest height must be below the highest")
    symbol = "in" if us_units else "mm"
    unit = find_unit(symbol, Dimension.LENGTH)
    assert unit is not None, f"the unit table has no {symbol}"
    models = models_of(shape, high, asked.real_m)
    return PageScale(
        heights_m=high,
        drawn_m=shape.length_m,
        real_m=asked.real_m,
        unit=symbol,
        unit_m=float(unit.factor),
        decimals=1 if us_units else 0,
        section=scale_section(shape, models, Shown(us_units=us_units)),
    )


def _ends(shape: Scaling, asked: ScaleAsked) -> tuple[float, float]:
    told: Sequence[float | None] = (asked.lowest_m, asked.highest_m)
    low, high = (
        share * shape.length_m if one is None else one for one, share in zip(told, USUAL_ENDS, strict=True)
    )
    return low, high
