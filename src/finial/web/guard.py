"""Keep other sites and other machines away from the page.

A page in another tab can send requests to 127.0.0.1, and a name of its own can be made to
point there. So only this server's own address is accepted as ``Host``, and only its own
page as ``Origin``.
"""

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self';"
        " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


class OwnPageOnly:
    """Refuse requests that did not come from the page at this very address."""

    def __init__(self, app: ASGIApp, *, port: int) -> None:
        self._app = app
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer 403 to strangers; add the security headers to every answer."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(_HEADERS)
            await send(message)

        refusal = self._refusal(Headers(scope=scope), scope["path"])
        if refusal:
            await JSONResponse({"error": refusal}, status_code=403)(scope, receive, send_guarded)
            return
        await self._app(scope, receive, send_guarded)

    def _refusal(self, headers: Headers, path: str) -> str:
        if headers.get("host") not in self._hosts:
            return "this page answers at its own address on this machine only"
        origin = headers.get("origin")
        if origin is not None and origin.removeprefix("http://") not in self._hosts:
            return "this page takes questions from itself only"
        # Browsers say where a request came from even when they send no Origin.
        stranger = headers.get("sec-fetch-site", "none") not in {"same-origin", "none"}
        if stranger and path.startswith("/api/"):
            return "this page takes questions from itself only"
        return ""
