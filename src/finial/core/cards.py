"""Graphics cards that CUDA can use, and what their compiler needs."""

from threading import Lock
from typing import Any

import numpy as np

from finial.core.errors import MissingData

_WAKING = Lock()
"""Numba calls its driver awake before it is: a second thread that asks meanwhile would fail."""


def ready_card() -> Any:
    """Return numba's CUDA module, or say what is missing."""
    try:
        from numba import cuda
    except ImportError as error:
        raise MissingData("numba-cuda is not installed: pip install 'finial[gpu]' brings it") from error
    with _WAKING:
        awake = cuda.is_available()
    if not awake:
        raise MissingData("no graphics card that CUDA can use was found")
    _lend_row_stack()
    return cuda


def card_count() -> int:
    """How many cards there are.

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    """
    return len(ready_card().gpus)


def free_bytes(card: int) -> int:
    """Memory of a card that nobody holds [bytes].

    Raises
    ------
    MissingData
        If numba-cuda is not installed or there is no card.
    """
    cuda = ready_card()
    with cuda.gpus[card]:
        return int(cuda.current_context().get_memory_info().free)


def card_faults() -> tuple[type[Exception], ...]:
    """Errors that a card's driver raises: it fell off the bus, its memory is full, its kernel was killed."""
    from numba.cuda.cudadrv.driver import CudaAPIError

    return (CudaAPIError,)


def _lend_row_stack() -> None:
    """Give NumPy 2.5 and later the name back that numba-cuda 0.30 reads when it compiles its first kernel.

    For good: cards compile on threads of their own, and no thread may take it from another.
    """
    if not hasattr(np, "row_stack"):
        lent: Any = np
        lent.row_stack = np.vstack
