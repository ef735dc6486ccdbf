"""Keep other sites and other machines away from the page.

A page in another tab can send requests to 127.0.0.1, and a name of its own can be made to
point there. So only this server's own address is accepted as ``Host``, and only its own
page as ``Origin``. Other users of the machine can reach the port too: so every request carries
a key, which the address that the shell prints hands to the browser as a cookie.
"""

import secrets
from collections.abc import Mapping
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self';"
        " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


KEY = "key"
"""Name under which the address carries the key."""
_NO_KEY = "this page opens with the whole address that the shell printed: it carries a key"


def new_key() -> str:
    """Return a key that nobody guesses."""
    return secrets.token_urlsafe(24)


def cookie_name(port: int) -> str:
    """Name of the cookie: cookies of one machine are shared by all its ports."""
    return f"finial-{port}"


class OwnPageOnly:
    """Refuse requests that did not come from the page at this very address, or carry no key."""

    def __init__(self, app: ASGIApp, *, port: int, key: str) -> None:
        self._app = app
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self._cookie = cookie_name(port)
        self._key = key

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer 403 to strangers; add the security headers to every answer."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        headers = Headers(scope=scope)
        refusal = self._refusal(headers, scope["path"])
        if not refusal and scope["path"] == "/" and self._is_key(_key_in(scope)):
            answer: ASGIApp = self._handed_over()
        elif not refusal and not self._is_key(cookie_in(headers, self._cookie)):
            answer = JSONResponse({"error": _NO_KEY}, status_code=403)
        else:
            answer = JSONResponse({"error": refusal}, status_code=403) if refusal else self._app
        await answer(scope, receive, with_headers(send, _HEADERS))

    def _handed_over(self) -> Response:
        """Give the browser the key to keep, and take it out of the address."""
        response = RedirectResponse("/", status_code=303)
        # Lax: links and the shell open the page, but no other site's form or script is sent with it.
        response.set_cookie(self._cookie, self._key, httponly=True, samesite="lax", path="/")
        return response

    def _is_key(self, told: str) -> bool:
        return secrets.compare_digest(told.encode(), self._key.encode())

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


def _key_in(scope: Scope) -> str:
    return parse_qs(scope["query_string"].decode("latin-1")).get(KEY, [""])[0]


def with_headers(send: Send, added: Mapping[str, str]) -> Send:
    """Return what sends an answer with headers added."""

    async def send_with(message: Message) -> None:
        if message["type"] == "http.response.start":
            MutableHeaders(scope=message).update(added)
        await send(message)

    return send_with


def cookie_in(headers: Headers, name: str) -> str:
    """Value of a cookie; empty where there is none, or they cannot be read."""
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(name)
    except CookieError:
        return ""
    return found.value if found else ""
