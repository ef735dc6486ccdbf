"""What every page of this server has: its built files, its guard, and faults said in one line."""

from collections.abc import AsyncGenerator, Callable, Sequence
from contextlib import asynccontextmanager, suppress
from dataclasses import asdict

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from finial.core.errors import BuildSheetError, FinialError
from finial.web.desk import ChangedMeanwhile
from finial.web.guard import OwnPageOnly
from finial.web.replies import fresh
from finial.web.share import STATIC

_NOT_BUILT = (
    "The page was not built with this copy of Finial. Installing Finial with pip builds it;"
    " in a source checkout, run: python hatch_build.py"
)

_AHEAD = {"Link": "</api/vehicle>; rel=preload; as=fetch; crossorigin=anonymous"}
"""The first thing every page asks for: worked out while the browser still reads the script that asks."""


def framed(
    routes: Sequence[BaseRoute],
    *,
    port: int,
    key: str,
    begin: Callable[[], object] | None = None,
    close: Callable[[], object] | None = None,
) -> Starlette:
    """Serve a page with these routes on ``port`` of this machine to whoever has the key.

    ``begin`` works out before the first question what it asks for; what it refuses is said when it is asked.
    """

    @asynccontextmanager
    async def lifespan(_app: Starlette) -> AsyncGenerator[None]:
        if begin:
            with suppress(FinialError):
                await run_in_threadpool(begin)
        yield
        if close:
            await run_in_threadpool(close)

    app = Starlette(
        routes=[
            Route("/", _page),
            *routes,
            Mount("/static", StaticFiles(directory=STATIC, check_dir=False)),
        ],
        lifespan=lifespan,
        middleware=[Middleware(OwnPageOnly, port=port, key=key)],
        exception_handlers={HTTPException: _refused, FinialError: _not_answered, Exception: _broken},
    )
    app.state.close = close or _nothing
    return app


def _nothing() -> None:
    """Close where nothing is open."""


async def _page(request: Request) -> Response:
    index = STATIC / "index.html"
    if not index.is_file():
        return PlainTextResponse(_NOT_BUILT, status_code=503)
    return fresh(FileResponse(index, media_type="text/html", headers=_AHEAD))


def _refused(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    return JSONResponse({"error": fault.detail}, status_code=fault.status_code, headers=fault.headers)


def _not_answered(request: Request, fault: Exception) -> Response:
    code = 409 if isinstance(fault, ChangedMeanwhile) else 422
    faults = [asdict(one) for one in fault.faults] if isinstance(fault, BuildSheetError) else []
    return JSONResponse({"error": str(fault), "faults": faults}, status_code=code)


def _broken(request: Request, fault: Exception) -> Response:
    """Say a fault of ours in one line; the server goes on, and logs the rest."""
    return JSONResponse({"error": f"Finial failed here: {type(fault).__name__}: {fault}"}, status_code=500)
