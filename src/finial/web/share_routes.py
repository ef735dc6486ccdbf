"""The page as one file to send, of what is saved, handed out by the server."""

from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from finial.web.landings import LandingAnswers
from finial.web.replies import fresh
from finial.web.served_page import ServedPage
from finial.web.share import STATIC, SentAlong, shared_page


class ShareAnswers:
    """Hand out a copy of the page."""

    def __init__(self, page: ServedPage, landings: LandingAnswers | None) -> None:
        self._page, self._landings = page, landings

    def routes(self) -> list[BaseRoute]:
        """Return the one address."""
        return [Route("/api/share", self.share)]

    async def share(self, request: Request) -> Response:
        """Return the copy as a file."""
        name = f"{Path(self._page.session.as_written.sheet_file).stem}.page.html"
        headers = {"Content-Disposition": f"attachment; filename*=UTF-8''{quote(name)}"}
        text = await run_in_threadpool(self._text)
        return fresh(Response(text, media_type="text/html", headers=headers))

    def _text(self) -> str:
        session = self._page.session
        revision = (session.desk.revision() if session.desk else None) or ""
        landed = self._landings.landed(session.as_written.us_units) if self._landings else None
        when = datetime.now(UTC)
        beside = SentAlong(landed=landed, surfaces=session.surfaces, flows=session.flows)
        return shared_page(session.as_written, STATIC, revision=revision, when=when, beside=beside)
