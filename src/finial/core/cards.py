"""Graphics cards that CUDA can use, and what their compiler needs."""

from typing import Any

import numpy as np

from finial.core.errors import MissingData


def ready_card() -> Any:
    """Return numba's CUDA module, or say what is missing."""
    try:
        from numba import cuda
    except ImportError as error:
        raise MissingData("numba-cuda is not installed: pip install 'finial[gpu]' brings it") from error
    if not cuda.is_available():
        raise MissingData("no graphics card that CUDA can use was found")
    _lend_row_stack()
    return cuda


def _lend_row_stack() -> None:
    """Give NumPy 2.5 and later the name back that numba-cuda 0.30 reads when it compiles its first kernel.

    For good: cards compile on threads of their own, and no thread may take it from another.
    """
    if not hasattr(np, "row_stack"):
        lent: Any = np
        lent.row_stack = np.vstack
