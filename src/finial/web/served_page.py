"""What answers of the page need of the page itself."""

import asyncio
from collections.abc import Mapping
from typing import Protocol

from starlette.requests import Request

from finial.assemble.vehicle.changes import Changes
from finial.web.session import BegunSession, Session


class ServedPage(Protocol):
    """The page that is served: its vehicle, what is tried on it, and the turn in which answers are made."""

    @property
    def opened(self) -> Session | BegunSession:
        """The vehicle, or what is begun of one, that is served now."""
        ...

    @property
    def session(self) -> Session:
        """The vehicle that is served now."""
        ...

    @property
    def one_at_a_time(self) -> asyncio.Lock:
        """Held while anything is answered."""
        ...

    def changes(self, tried: Mapping[str, object]) -> Changes:
        """Read what is tried on the page."""
        ...

    def shows_us(self, request: Request) -> bool:
        """Whether US units are asked for."""
        ...
