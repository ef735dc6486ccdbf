"""Where the flights of the kept campaign come down, on the map: words, tables, and files to take away."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from functools import lru_cache, partial
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from finial.core.errors import CampaignError, MissingData
from finial.files.own_campaign import own_campaign
from finial.findings.kept_landings import KeptLandings
from finial.report.document import ReportSection
from finial.report.field_map_files import field_map_files
from finial.report.landings_text import landings_csv, landings_sections
from finial.web.replies import fresh
from finial.web.served_page import ServedPage
from finial.web.session import Session
from finial.web.stages import StagePicture, told_picture

_KINDS = {
    "svg": "image/svg+xml",
    "csv": "text/csv; charset=utf-8",
    "geojson": "application/geo+json",
    "kml": "application/vnd.google-earth.kml+xml",
}
MAP = "map"
"""Name of the picture, and of the map's files."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PageLandings:
    """Landing points of the kept campaign; where there are none, why not."""

    says: str
    """How many flights it is from, or why there is nothing to show."""
    picture: StagePicture | None
    sections: tuple[ReportSection, ...]
    files: tuple[str, ...]
    """Names of what can be taken away besides the picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Landed:
    """What is told of the landings, and the files that it names."""

    told: PageLandings
    files: Mapping[str, str]


class LandingAnswers:
    """Tell and draw where the flights come down that are kept beside the sheet or by a job of the page."""

    def __init__(self, page: ServedPage, sheet: Path, of_jobs: Callable[[], tuple[Path, ...]]) -> None:
        self._page, self._sheet, self._of_jobs = page, sheet, of_jobs
        self._of: Session | None = None

    def routes(self) -> list[BaseRoute]:
        """Addresses under ``/api/landings``."""
        return [Route("/api/landings", self.told), Route("/api/landings/{name}", self.file)]

    async def told(self, request: Request) -> Response:
        """Tell where they come down."""
        found = await run_in_threadpool(self.landed, self._page.shows_us(request))
        return fresh(JSONResponse(asdict(found.told)))

    async def file(self, request: Request) -> Response:
        """Return the map or the points as a file."""
        found = await run_in_threadpool(self.landed, self._page.shows_us(request))
        name = request.path_params["name"]
        if name not in found.files:
            raise HTTPException(404, "there is no such file")
        return fresh(Response(found.files[name], media_type=_KINDS[name.rpartition(".")[2]]))

    def landed(self, us_units: bool) -> Landed:
        """Return what is told now; kept until a folder of campaigns changes."""
        session = self._page.session
        if session is not self._of:
            self._of, self._kept = session, lru_cache(maxsize=4)(partial(_read, session.landings))
        newest_first = sorted(
            ((one, one.stat().st_mtime_ns) for one in self._folders()), key=lambda one: -one[1]
        )
        return self._kept(tuple(newest_first), us_units)

    def _folders(self) -> list[Path]:
        return [one for one in (own_campaign(self._sheet), *self._of_jobs()) if one.is_dir()]


Read = Callable[[Sequence[Path]], KeptLandings | None]


def own_landings(read: Read, sheet: Path, us_units: bool) -> Landed:
    """Tell where the flights come down that are kept beside a sheet."""
    folder = own_campaign(sheet)
    return _read(read, ((folder, 0),) if folder.is_dir() else (), us_units)


def _read(read: Read | None, folders: tuple[tuple[Path, int], ...], us_units: bool) -> Landed:
    """Read the newest campaign of this very sheet; kept until a folder changes."""
    if read is None or not folders:
        return _nothing("No campaign is kept yet.")
    try:
        found = read([folder for folder, _ in folders])
    except (CampaignError, MissingData) as fault:
        return _nothing(f"No campaign that is kept is of the sheet as it stands: {fault}.")
    if found is None:
        return _nothing("No flight of the kept campaign comes to the ground as computed.")
    return _told(replace(found, drawn=replace(found.drawn, us_units=us_units)))


def _nothing(says: str) -> Landed:
    return Landed(told=PageLandings(says=says, picture=None, sections=(), files=()), files={})


def _told(found: KeptLandings) -> Landed:
    files = {**field_map_files(found.drawn), "landings.csv": landings_csv(found)}
    landed, held = found.drawn.landed, len(found.drawn.landings_m)
    others = "" if landed == found.flights else "; the others are lost"
    says = f"{landed:,} of {found.flights:,} flights of the kept campaign come down here{others}."
    if held < landed:
        says += (
            f" The first {held:,} of them, a fair sample, stand in the file of points; maps draw fewer."
            " Odds, distances, counts and the ellipse are of all."
        )
    return Landed(
        told=PageLandings(
            says=says,
            picture=told_picture(MAP, files[f"{MAP}.svg"]),
            sections=landings_sections(found),
            files=tuple(name for name in files if not name.endswith(".svg")),
        ),
        files=files,
    )
