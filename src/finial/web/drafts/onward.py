"""One address under which a draft is served, and then what was begun with it."""

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.types import Receive, Scope, Send


class Onward:
    """An application in whose place another may come; all are closed with the server."""

    def __init__(self) -> None:
        self._apps: list[Starlette] = []

    def go_on(self, app: Starlette) -> None:
        """Serve another one from now on."""
        self._apps.append(app)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand a request to the last one; the first one starts and ends with the server."""
        if scope["type"] != "lifespan":
            await self._apps[-1](scope, receive, send)
            return
        await self._apps[0](scope, receive, send)
        for app in self._apps[1:]:
            await run_in_threadpool(app.state.close)
