"""Air round the shape of the tunnel's kept runs: planes, words and tables, and a film of moments."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from functools import lru_cache

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from finial.core.errors import CampaignError, MissingData
from finial.report.document import Table
from finial.report.flow_words import AIR_WORDS, SPEED_WORDS, flow_sentence, flow_table, plane_words
from finial.report.pictures.drawn_air import DrawnMoment, DrawnPlane, drawn_moments, drawn_plane
from finial.report.pressure_words import wind_words
from finial.report.shown import Shown
from finial.tunnel_study.flows import KeptFlow
from finial.web.replies import fresh
from finial.web.served_page import ServedPage
from finial.web.words import sentence

_NONE = (
    "Under Long jobs, or with finial tunnel, the shape is blown at; the air that is kept is then shown here."
)
_FILMS_KEPT = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePlane:
    """One plane through the axis."""

    name: str
    drawn: DrawnPlane
    table: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class PageAir:
    """Air of one wind that was blown."""

    name: str
    says: str
    angle_rad: float
    """Of the wind in the first plane, from along the axis upwards."""
    planes: tuple[PagePlane, ...]
    moments: int
    """Of its film."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageFlow:
    """Winds whose air is kept."""

    says: str
    """Why there is none, or what a copy of the page leaves out."""
    winds: tuple[PageAir, ...]
    speeds: tuple[str, ...]
    """Words of the bands of speed, and of those of pressure."""
    pressures: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PageFilm:
    """Moments of the first plane, each with the travel since the first in words."""

    moments: tuple[DrawnMoment, ...]
    readings: tuple[str, ...]


def page_flow(flows: Sequence[KeptFlow], *, us_units: bool, says: str = "") -> PageFlow:
    """Tell every wind in pictures, words and numbers."""
    shown = Shown(us_units=us_units)
    winds = tuple(_air(one, shown) for one in flows)
    return PageFlow(says=says, winds=winds, speeds=SPEED_WORDS, pressures=AIR_WORDS)


def _air(kept: KeptFlow, shown: Shown) -> PageAir:
    return PageAir(
        name=wind_words(kept),
        says=flow_sentence(kept, shown),
        angle_rad=kept.told.angle_rad,
        planes=tuple(
            PagePlane(
                name=plane_words(kept, number),
                drawn=drawn_plane(plane),
                table=flow_table(kept, number, shown),
            )
            for number, plane in enumerate(kept.flow.planes)
        ),
        moments=len(kept.flow.moments),
    )


def page_film(kept: KeptFlow) -> PageFilm:
    """Draw all moments of a wind."""
    travels = [number * kept.flow.apart_widths for number in range(len(kept.flow.moments))]
    return PageFilm(
        moments=drawn_moments(kept.flow, kept.told.width_m),
        readings=tuple(f"after {travel:.1f} widths of travel" for travel in travels),
    )


class FlowAnswers:
    """Tell and draw the air round the sheet as saved."""

    def __init__(self, page: ServedPage) -> None:
        self._page = page
        self._film = lru_cache(maxsize=_FILMS_KEPT)(page_film)

    def routes(self) -> list[BaseRoute]:
        """Addresses under ``/api/flow``."""
        return [Route("/api/flow", self.told), Route("/api/flow/{number:int}", self.film)]

    async def told(self, request: Request) -> Response:
        """Tell the winds."""
        us_units = self._page.shows_us(request)
        return fresh(JSONResponse(await run_in_threadpool(self._told, us_units)))

    def _told(self, us_units: bool) -> dict[str, object]:
        try:
            return asdict(page_flow(self._kept(), us_units=us_units))
        except (MissingData, CampaignError) as fault:
            return asdict(page_flow((), us_units=us_units, says=f"{sentence(str(fault))} {_NONE}"))

    async def film(self, request: Request) -> Response:
        """Return the moments of one wind."""
        number = int(request.path_params["number"])

        def told() -> dict[str, object]:
            try:
                return asdict(self._film(self._kept()[number]))
            except (MissingData, CampaignError, IndexError) as fault:
                raise HTTPException(404, "no such air is kept") from fault

        return fresh(JSONResponse(await run_in_threadpool(told)))

    def _kept(self) -> tuple[KeptFlow, ...]:
        session = self._page.session
        if session.flows is None:
            raise MissingData("this page has no sheet that a study could lie beside")
        return session.flows()
