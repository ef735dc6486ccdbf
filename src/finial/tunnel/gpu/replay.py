# pyright: basic
# What the driver returns carries no types.
"""Launches of a card that are told it once and then repeated as one."""

import importlib
import weakref
from collections.abc import Callable
from typing import Any, NamedTuple

_APART = 1
"""A stream that waits for no other."""
_UNTIMED = 2
"""An event that tells no time."""
_RELAXED = 2
"""Other work of this process may go on while launches are written down."""


def _driver(cuda: Any) -> Any:
    """Driver that writes launches down; ``None`` on a make-believe card, and where it is not installed."""
    if not hasattr(cuda, "external_stream"):
        return None
    try:
        return importlib.import_module("cuda.bindings.driver")
    except ImportError:
        return None


class _Side(NamedTuple):
    """A stream beside, and what tells when it parted and when it is to be waited for."""

    handle: Any
    stream: Any
    parted: Any
    joined: Any


class Queue:
    """A stream of launches, apart from those of other runs on the same card."""

    def __init__(self, cuda: Any) -> None:
        self._driver, self._cuda = _driver(cuda), cuda
        if self._driver is None:
            self.stream: Any = cuda.stream()
            return
        self._handle = self._told(self._driver.cuStreamCreate(_APART))
        self.stream = cuda.external_stream(int(self._handle))
        self._kept: list[Any] = []
        self._sides: dict[int, _Side] = {}
        weakref.finalize(self, _let_go, self._driver, self._handle, self._kept, self._sides)

    @property
    def repeats(self) -> bool:
        """Launches can be written down and repeated."""
        return self._driver is not None

    def side_by_side(self, number: int, first: Callable[[], None], second: Callable[[], None]) -> None:
        """Launch two things that need not wait for one another; what is launched next waits for both.

        Parameters
        ----------
        number : int
            Of the stream beside that the first is launched on: no two that overlap share one.
        first, second : callable
            Launches on ``stream``, asked for in this order; either may hold others side by side.
        """
        if self._driver is None:
            first()
            second()
            return
        side, main = self._side(number), (self.stream, self._handle)
        self._waits(side.handle, main[1], side.parted)
        self.stream, self._handle = side.stream, side.handle
        try:
            first()
        finally:
            self.stream, self._handle = main
        second()
        self._waits(self._handle, side.handle, side.joined)

    def _waits(self, waiting: Any, other: Any, event: Any) -> None:
        """Let a stream wait for what another was told so far."""
        self._told(self._driver.cuEventRecord(event, other))
        self._told(self._driver.cuStreamWaitEvent(waiting, event, 0))

    def _side(self, number: int) -> "_Side":
        if number not in self._sides:
            handle = self._told(self._driver.cuStreamCreate(_APART))
            events = (self._told(self._driver.cuEventCreate(_UNTIMED)) for _ in range(2))
            stream = self._cuda.external_stream(int(handle))
            self._sides[number] = _Side(handle, stream, *events)
        return self._sides[number]

    def written_down(self, launches: Callable[[], object]) -> Callable[[], object]:
        """Write launches down without running them.

        Parameters
        ----------
        launches : callable
            Launches on this stream of kernels that are compiled already, and nothing that waits.

        Returns
        -------
        again : callable
            Launches all of them, in the same order on the same memory.
        """
        driver = self._driver
        mode = driver.CUstreamCaptureMode(_RELAXED)
        self._told(driver.cuStreamBeginCapture(self._handle, mode))
        try:
            launches()
        finally:
            graph = self._told(driver.cuStreamEndCapture(self._handle))
        whole = self._told(driver.cuGraphInstantiate(graph, 0))
        self._told(driver.cuGraphDestroy(graph))
        self._kept.append(whole)
        return lambda: self._told(driver.cuGraphLaunch(whole, self._handle))

    def _told(self, answer: tuple[Any, ...]) -> Any:
        """Give what the driver answers, or raise what it says went wrong as the compiler's own calls do."""
        from numba.cuda.cudadrv.driver import CudaAPIError

        code, *rest = answer
        if int(code) != 0:
            raise CudaAPIError(int(code), f"the card's driver refuses: {code}")
        return rest[0] if rest else None


def _let_go(driver: Any, handle: Any, kept: list[Any], sides: "dict[int, _Side]") -> None:
    """Give the driver back what it keeps for a stream; what it says to that is too late to matter."""
    for whole in kept:
        driver.cuGraphExecDestroy(whole)
    for side in sides.values():
        for event in (side.parted, side.joined):
            driver.cuEventDestroy(event)
        driver.cuStreamDestroy(side.handle)
    driver.cuStreamDestroy(handle)
