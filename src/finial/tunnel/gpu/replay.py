# pyright: basic
# What the driver returns carries no types.
"""Launches of a card that are told it once and then repeated as one."""

import importlib
import weakref
from collections.abc import Callable
from typing import Any

_APART = 1
"""A stream that waits for no other."""
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


class Queue:
    """A stream of launches, apart from those of other runs on the same card."""

    def __init__(self, cuda: Any) -> None:
        self._driver = _driver(cuda)
        if self._driver is None:
            self.stream: Any = cuda.stream()
            return
        self._handle = self._told(self._driver.cuStreamCreate(_APART))
        self.stream = cuda.external_stream(int(self._handle))
        self._kept: list[Any] = []
        weakref.finalize(self, _let_go, self._driver, self._handle, self._kept)

    @property
    def repeats(self) -> bool:
        """Launches can be written down and repeated."""
        return self._driver is not None

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


def _let_go(driver: Any, handle: Any, kept: list[Any]) -> None:
    """Give the driver back what it keeps for a stream; what it says to that is too late to matter."""
    for whole in kept:
        driver.cuGraphExecDestroy(whole)
    driver.cuStreamDestroy(handle)
