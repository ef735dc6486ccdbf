"""Kernels of one set of types: compiled when they are imported, or read from the cache, and never again."""

from collections.abc import Callable
from typing import Any

import numba

from finial.core.compiled import Kernels

_REAL: Any = numba.float64
LINE, PLANE, SPACE = (numba.types.Array(_REAL, axes, "C", readonly=True) for axes in (1, 2, 3))
"""Arrays that a kernel only reads: what may be written to is taken as well."""
PLACES: Any = numba.types.Array(numba.int64, 1, "C", readonly=True)
PAIR: Any = numba.types.UniTuple(_REAL, 2)


def of_types(kernels: Kernels, *types: Any) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Compile a kernel for its one set of types, some seconds the first time on a machine.

    Parameters
    ----------
    kernels : Kernels
        Those that it belongs to.
    *types : numba type
        Of its arguments; it takes no others.

    Returns
    -------
    compiling : callable
        Turns a function into the kernel.
    """

    def compiling(function: Callable[..., Any]) -> Callable[..., Any]:
        kernel: Any = kernels.outer(function)
        kernel.compile(types)
        kernel.disable_compile()
        return kernel

    return compiling
