"""Keep everybody but one phone of the same network away from the day's page.

The page is served without encryption, on a network that others may share: whoever listens there can read
the numbers, and the code as it is typed. So a code opens the page once, in one browser; it never writes into
the sheet unless that was asked for in the shell; and only addresses that no wider network carries are served.
"""

import ipaddress
import secrets
from collections.abc import Callable

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from finial.web.guard import cookie_in, with_headers

HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; form-action 'self'; base-uri 'none';"
        " frame-ancestors 'none'"
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    # Without a referrer a form of our own would come with no origin, as a stranger's may.
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
DIGITS = 8
TRIES = 5
"""Wrong codes after which no code opens the page any more: 5 in 100 million to guess it."""
COOKIE = "finial-day"


class Codes:
    """The code of the moment: right once, then another; shut after a few wrong ones."""

    def __init__(self, tell: Callable[[str], object]) -> None:
        self._tell = tell
        self._wrong = 0
        self._sessions: set[str] = set()
        self._code = _fresh()
        tell(f"Code: {self._code}")

    def opened_by(self, typed: str) -> str:
        """Return a session's secret for the right code, which is used up by that; empty for a wrong one."""
        if self._wrong >= TRIES:
            return ""
        if not secrets.compare_digest(typed.strip().encode(), self._code.encode()):
            self._wrong += 1
            if self._wrong == TRIES:
                self._tell(f"{TRIES} wrong codes: no further phone is let in. Stop it and start again.")
            return ""
        session = secrets.token_urlsafe(24)
        self._sessions.add(session)
        self._code = _fresh()
        self._tell(f"A phone is in. Code for another one: {self._code}")
        return session

    def knows(self, session: str) -> bool:
        """Tell whether a browser holds the secret of a session."""
        return any(secrets.compare_digest(session.encode(), one.encode()) for one in self._sessions)


def _fresh() -> str:
    return f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"


def is_near(address: str) -> bool:
    """Tell whether an address belongs to this machine or to a network that no wider one carries.

    Examples
    --------
    >>> [is_near(one) for one in ("192.168.1.20", "10.0.0.3", "127.0.0.1", "fe80::1", "8.8.8.8", "phone")]
    [True, True, True, True, False, False]
    """
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return False
    mapped = found.ipv4_mapped if isinstance(found, ipaddress.IPv6Address) else None
    told = mapped or found
    return (
        told.is_loopback
        or told.is_link_local
        or any(told in network for network in _NEAR if network.version == told.version)
    )


_NEAR = tuple(
    ipaddress.ip_network(one) for one in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7")
)
"""RFC 1918 and RFC 4193; documentation and other special ranges are no phones."""


class OnePhoneOnly:
    """Refuse far addresses, other hosts' pages, and browsers that gave no code."""

    def __init__(
        self, app: ASGIApp, *, hosts: frozenset[str], codes: Codes, open_paths: frozenset[str]
    ) -> None:
        self._app = app
        self._hosts = hosts
        self._codes = codes
        self._open_paths = open_paths

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer 403 to strangers, send who gave no code to where it is asked, and add the headers."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        headers = Headers(scope=scope)
        refusal = self._refusal(headers, scope)
        answer: ASGIApp = self._app
        if refusal:
            answer = PlainTextResponse(refusal, status_code=403)
        elif scope["path"] not in self._open_paths and not self._codes.knows(cookie_in(headers, COOKIE)):
            answer = RedirectResponse("/code", status_code=303)
        await answer(scope, receive, with_headers(send, HEADERS))

    def _refusal(self, headers: Headers, scope: Scope) -> str:
        client = scope.get("client")
        if client is None or not is_near(client[0]):
            return "this page is for the same network only"
        if headers.get("host") not in self._hosts:
            return "this page answers at its own address only"
        origin = headers.get("origin")
        if origin is not None and origin.removeprefix("http://") not in self._hosts:
            return "this page takes questions from itself only"
        if headers.get("sec-fetch-site", "none") not in {"same-origin", "none"} and scope["method"] != "GET":
            return "this page takes questions from itself only"
        return ""


def let_in(session: str) -> Response:
    """Hand a browser the secret of its session."""
    response = RedirectResponse("/", status_code=303)
    response.set_cookie(COOKIE, session, httponly=True, samesite="strict", path="/")
    return response
