"""Surface pressure of the tunnel's kept runs on the shape: triangles, coefficients, words and tables."""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from finial.assemble.vehicle.results import ShapeResult
from finial.core.errors import CampaignError, MissingData
from finial.report.document import Table
from finial.report.pressure_words import (
    BAND_WORDS,
    PRESSURE_EDGES,
    pressure_sentence,
    pressure_table,
    wind_words,
)
from finial.report.shown import Shown
from finial.tunnel.skin_pressure import before_corners, pressures_near
from finial.tunnel_study.surfaces import KeptSurface
from finial.web.hull import DRAWN_FACES, hull_mesh, mesh_bytes, thinned
from finial.web.replies import fresh
from finial.web.served_page import ServedPage
from finial.web.session import Session
from finial.web.words import sentence

_HULL_FACES = 6000
_AS_LONG = 0.8
"""Triangles are split until no side is longer than this share of what lies between places."""
_LONGER = 1.25
NOT_KNOWN = np.iinfo(np.int16).min
_HUNDREDTHS = 100.0
_NONE = "Under Long jobs, or with finial tunnel, the shape is blown at; what is kept is then shown here."


@dataclass(frozen=True, slots=True, kw_only=True)
class PageWind:
    """One wind that was blown."""

    name: str
    says: str
    towards: tuple[float, float, float]
    """Where it blows to, in body axes."""
    table: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePressure:
    """Winds whose surface pressures are kept; without any, why not."""

    says: str
    winds: tuple[PageWind, ...]
    edges: tuple[float, ...]
    """Pressure coefficients that part the bands, rising."""
    bands: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pressed:
    """Triangles of the whole shape, and pressure coefficients at their corners by wind."""

    surfaces: tuple[KeptSurface, ...]
    triangles_m: NDArray[np.float64]
    """In body axes, shape (m, 3, 3)."""
    length_m: float

    def told(self, *, us_units: bool) -> PagePressure:
        """Tell every wind in words and numbers."""
        shown = Shown(us_units=us_units)
        return _page("", tuple(_wind(one, self.length_m, shown) for one in self.surfaces))

    def on_corners(self, number: int) -> NDArray[np.float64]:
        """Pressure coefficients at the corners in one of the winds, shape (m, 3); not a number: not known."""
        surface = self.surfaces[number]
        # Half a gap outside, so that each side of a thin fin has its own; the tunnel's stations run aft.
        points = before_corners(self.triangles_m, 0.5 * surface.told.apart_m).reshape(-1, 3)
        known = ~np.isnan(surface.pressures)
        reach = 1.5 * surface.told.apart_m
        aft = points * np.array([-1.0, 1.0, 1.0])
        found = pressures_near(surface.places_m[known], surface.pressures[known], aft, reach)
        return found.reshape(-1, 3)


def pressed(shape: ShapeResult, surfaces: tuple[KeptSurface, ...]) -> Pressed:
    """Lay out the triangles that kept pressures are shown on: as fine as the places, but few."""
    hull = thinned(*hull_mesh(shape), most_faces=_HULL_FACES)
    display = shape.display_mesh
    fins = display.vertices_m[display.faces[shape.fin_faces]]
    whole = np.concatenate([hull[0][hull[1]], fins])
    longest_m = _AS_LONG * min(one.told.apart_m for one in surfaces)
    return Pressed(
        surfaces=surfaces,
        triangles_m=split_to(whole, longest_m, most=DRAWN_FACES),
        length_m=shape.skin.length_m,
    )


def split_to(triangles_m: NDArray[np.float64], longest_m: float, *, most: int) -> NDArray[np.float64]:
    """Halve triangles across their longest side until none is longer; longer ones stay where few may be."""
    while (split := _split(triangles_m, longest_m, most)) is None:
        longest_m *= _LONGER
    return split


def _split(triangles: NDArray[np.float64], longest_m: float, most: int) -> NDArray[np.float64] | None:
    """Halve until no side is longer; nothing where halving makes more than ``most``."""
    done: list[NDArray[np.float64]] = []
    while len(triangles):
        sides = np.linalg.norm(triangles - np.roll(triangles, -1, axis=1), axis=2)
        long = sides.max(axis=1) > longest_m
        done.append(triangles[~long])
        first = sides[long].argmax(axis=1)[:, None]
        a, b, c = (
            np.take_along_axis(triangles[long], ((first + turn) % 3)[:, :, None], axis=1)[:, 0]
            for turn in range(3)
        )
        middle = (a + b) / 2.0
        triangles = np.concatenate([np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)])
        if len(triangles) and sum(map(len, done)) + len(triangles) > most:
            return None
    return np.concatenate(done) if done else triangles


def _wind(surface: KeptSurface, length_m: float, shown: Shown) -> PageWind:
    angle, roll = surface.told.angle_rad, surface.told.roll_rad
    across = float(np.sin(angle))
    return PageWind(
        name=wind_words(surface),
        says=pressure_sentence(surface, shown),
        towards=(-float(np.cos(angle)), across * float(np.cos(roll)), across * float(np.sin(roll))),
        table=pressure_table(surface, length_m, shown),
    )


def _page(says: str, winds: tuple[PageWind, ...]) -> PagePressure:
    return PagePressure(says=says, winds=winds, edges=PRESSURE_EDGES, bands=BAND_WORDS)


class PressureAnswers:
    """Tell and draw the pressure on the surface of the sheet as saved."""

    def __init__(self, page: ServedPage) -> None:
        self._page = page
        self._of: Session | None = None

    def routes(self) -> list[BaseRoute]:
        """Addresses under ``/api/pressure``."""
        return [
            Route("/api/pressure", self.told),
            Route("/api/pressure/mesh", self.mesh),
            Route("/api/pressure/{number:int}", self.on_corners),
        ]

    async def told(self, request: Request) -> Response:
        """Tell the winds."""
        us_units = self._page.shows_us(request)
        return fresh(JSONResponse(await run_in_threadpool(self._told, us_units)))

    def _told(self, us_units: bool) -> dict[str, object]:
        try:
            return asdict(self._found().told(us_units=us_units))
        except (MissingData, CampaignError) as fault:
            return asdict(_page(f"{sentence(str(fault))} {_NONE}", ()))

    async def mesh(self, request: Request) -> Response:
        """Return the triangles, in the format of the hull."""
        return await self._bytes(triangle_bytes)

    async def on_corners(self, request: Request) -> Response:
        """Return hundredths of pressure coefficients, int16, little-endian; the least: not known."""
        number = int(request.path_params["number"])
        return await self._bytes(lambda found: in_hundredths(found.on_corners(number)))

    async def _bytes(self, tell: Callable[[Pressed], bytes]) -> Response:
        def told() -> bytes:
            try:
                return tell(self._found())
            except (MissingData, CampaignError, IndexError) as fault:
                raise HTTPException(404, "no such pressure is kept") from fault

        return fresh(Response(await run_in_threadpool(told), media_type="application/octet-stream"))

    def _found(self) -> Pressed:
        """Read what is kept now; laid out once as long as it stays."""
        session = self._page.session
        if session.surfaces is None:
            raise MissingData("this page has no sheet that a study could lie beside")
        if session is not self._of:
            self._of, self._laid = session, lru_cache(maxsize=1)(partial(pressed, session.as_written.shape))
        return self._laid(session.surfaces())


def in_hundredths(pressures: NDArray[np.float64]) -> bytes:
    """Write pressure coefficients as the page reads them."""
    rounded = np.round(pressures * _HUNDREDTHS)
    return np.where(np.isnan(rounded), NOT_KNOWN, rounded).astype("<i2").tobytes()


def triangle_bytes(found: Pressed) -> bytes:
    """Write the triangles in the format of the hull."""
    return mesh_bytes(*_soup(found.triangles_m))


def _soup(triangles_m: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Corners of their own for each triangle: each has a colour of its own."""
    return triangles_m.reshape(-1, 3), np.arange(3 * len(triangles_m)).reshape(-1, 3)
