"""What every question of the page goes through: its kind and size, and answers that are not kept."""

from collections.abc import Callable
from typing import TypeVar

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from finial.core.errors import OutsideRange

Told = TypeVar("Told")
MOST_BYTES = 65_536
"""A question is a few hundred bytes, with lists typed into the sheet some thousands; more is refused."""


async def json_body(request: Request) -> bytes:
    """Return the body of a question; only JSON of a reasonable size is taken."""
    if not is_sent_as(request, "application/json"):
        raise HTTPException(415, "send the question as application/json")
    return await limited_body(request, "question", MOST_BYTES)


async def asked_as(request: Request, read: Callable[[bytes], Told]) -> Told:
    """Return what a question asks, as ``read`` makes it out; what it makes nothing of is no question."""
    body = await json_body(request)
    try:
        return read(body)
    except OutsideRange as fault:
        raise HTTPException(400, str(fault)) from fault


def is_sent_as(request: Request, kind: str) -> bool:
    """Whether what is sent says that it is of a kind."""
    return request.headers.get("content-type", "").partition(";")[0].strip() == kind


async def limited_body(request: Request, what: str, most_bytes: int) -> bytes:
    """Return what is sent; no more of it is read than may be."""
    body = bytearray()
    async for chunk in request.stream():
        body += chunk
        if len(body) > most_bytes:
            raise HTTPException(413, f"a {what} has at most {most_bytes} bytes")
    return bytes(body)


def fresh(response: Response) -> Response:
    """Mark an answer as not to be kept: another vehicle may be served at this address next."""
    response.headers["Cache-Control"] = "no-store"
    return response
