"""What a copy of the page holds of the tunnel: pressures on the surface, and the mean air round it."""

import base64
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from finial.assemble.vehicle.results import ShapeResult
from finial.core.errors import CampaignError, MissingData
from finial.report.flow_words import NO_FILM
from finial.tunnel_study.flows import KeptFlow
from finial.tunnel_study.surfaces import KeptSurface
from finial.web.flow import PageFlow, page_flow
from finial.web.pressure import PagePressure, in_hundredths, pressed, triangle_bytes

Kept = TypeVar("Kept")
Read = Callable[[], tuple[Kept, ...]] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SentPressure:
    """Winds with their words, triangles and pressures."""

    told: PagePressure
    mesh: str
    """Bytes of the triangles in base64."""
    hundredths: tuple[str, ...]
    """Pressure coefficients of each wind in base64."""


def sent_pressure(shape: ShapeResult, read: Read[KeptSurface], *, us_units: bool) -> SentPressure | None:
    """Lay out what is kept of the pressure on the surface; ``None`` without any."""
    surfaces = _kept(read)
    if not surfaces:
        return None
    laid = pressed(shape, surfaces)
    return SentPressure(
        told=laid.told(us_units=us_units),
        mesh=_base64(triangle_bytes(laid)),
        hundredths=tuple(_base64(in_hundredths(laid.on_corners(number))) for number in range(len(surfaces))),
    )


def sent_flow(read: Read[KeptFlow], *, us_units: bool) -> PageFlow | None:
    """Draw the means of the air that is kept; films, which are large, stay. ``None`` without any."""
    told = page_flow(_kept(read), us_units=us_units)
    if not told.winds:
        return None
    says = NO_FILM if any(one.moments for one in told.winds) else ""
    return replace(told, says=says, winds=tuple(replace(one, moments=0) for one in told.winds))


def _kept(read: Read[Kept]) -> tuple[Kept, ...]:
    try:
        return read() if read else ()
    except (MissingData, CampaignError):
        return ()


def _base64(content: bytes) -> str:
    return base64.b64encode(content).decode("ascii")
