"""The page as one file to send: read-only, with everything inside, that asks no server and no network."""

import base64
import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from html import escape
from pathlib import Path

from finial.core.errors import MissingData
from finial.core.version import __version__
from finial.findings.readiness import Readiness
from finial.report.field_html import json_in_page
from finial.tunnel_study.flows import KeptFlow
from finial.tunnel_study.surfaces import KeptSurface
from finial.web.across import PageCut, cut_across
from finial.web.along import along_body
from finial.web.hull import hull_bytes
from finial.web.inside import has_section, inside_svg
from finial.web.landings import MAP, Landed
from finial.web.looks import AS_SAVED
from finial.web.moving.all import moving
from finial.web.payload import finding_way, page_vehicle, plain
from finial.web.records import SharedPage
from finial.web.stages import staged
from finial.web.tunnel_sent import sent_flow, sent_pressure

STATIC = Path(__file__).parent / "static"
MOST_FACES = 20_000
"""Triangles of the hull in the file: enough for a telephone, and small enough to send."""
CUTS = 24
"""Sections across the vehicle in the file: some 12 kB each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SentAlong:
    """What is kept beside a sheet and sent with its page."""

    landed: Landed | None = None
    surfaces: Callable[[], tuple[KeptSurface, ...]] | None = None
    flows: Callable[[], tuple[KeptFlow, ...]] | None = None


NOTHING = SentAlong()


def shared_page(
    readiness: Readiness, static: Path, *, revision: str, when: datetime, beside: SentAlong = NOTHING
) -> str:
    """Return the page of an answer as one HTML text, with its campaign's landings and the tunnel's pictures.

    Scripts and styles are allowed by their hashes alone, and nothing may be fetched: whatever a sheet's
    texts hold, none of it runs.

    Raises
    ------
    MissingData
        If the page was not built with this copy of Finial.
    """
    script, style = _only(static, "*.js"), _only(static, "*.css")
    stages = staged(readiness)
    landed = beside.landed if beside.landed and beside.landed.told.picture else None
    us_units = readiness.us_units
    told = SharedPage(
        vehicle=page_vehicle(readiness),
        other_units=page_vehicle(replace(readiness, us_units=not readiness.us_units)),
        along=along_body(readiness),
        ways={one.key: finding_way(one.key) for one in readiness.findings},
        hull=_base64(hull_bytes(readiness.shape, most_faces=MOST_FACES)),
        inside=inside_svg(readiness) if has_section(readiness) else "",
        cuts=tuple(_cuts(readiness)),
        moving=moving(readiness, AS_SAVED),
        stages=stages.told,
        landings=landed.told if landed else None,
        landing_files={name: landed.files[name] for name in landed.told.files} if landed else {},
        pressure=sent_pressure(readiness.shape, beside.surfaces, us_units=us_units),
        flow=sent_flow(beside.flows, us_units=us_units),
        drawn={**stages.drawn, **({MAP: landed.files[f"{MAP}.svg"]} if landed else {})},
        made=when.astimezone(UTC).strftime("%Y-%m-%d %H:%M UTC"),
        revision=revision,
        version=__version__,
    )
    policy = (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; img-src data: blob:;"
        " base-uri 'none'; form-action 'none'"
    )
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<title>{escape(readiness.name)}: {readiness.verdict.words} - Finial</title>\n"
        f"<style>{style}</style>\n</head>\n<body>\n"
        '<div id="page"></div>\n'
        f'<script type="application/json" id="shared">{json_in_page(plain(told))}</script>\n'
        f'<script type="module">{script}</script>\n</body>\n</html>\n'
    )


def _cuts(readiness: Readiness) -> Iterator[PageCut]:
    """Cut across at the middles of even stretches: nobody asks a server for another."""
    cavity = readiness.inside.cavity
    if len(cavity.stations_m):
        for number in range(CUTS):
            yield cut_across(readiness, cavity.length_m * (number + 0.5) / CUTS)


def _only(static: Path, pattern: str) -> str:
    found = list((static / "assets").glob(pattern))
    if len(found) != 1:
        raise MissingData("the page was not built with this copy of Finial, so there is none to send")
    text = found[0].read_text(encoding="utf-8").strip()
    # Nothing in it may end the element that it stands in; in a script's texts the two mean the same.
    return text.replace("</script", "<\\/script").replace("<!--", "<\\!--")


def _hash(text: str) -> str:
    return f"sha256-{_base64(hashlib.sha256(text.encode()).digest())}"


def _base64(content: bytes) -> str:
    return base64.b64encode(content).decode("ascii")
