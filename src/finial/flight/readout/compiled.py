"""What reads traces: the kernels, which files they stand in, and their types."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import numba

from finial.core.compiled import Kernels

__all__ = ["LINE", "PAIR", "PLANE", "READOUT", "SPACE", "outer"]

READOUT: Final = Kernels(name="readout", home=Path(__file__).parent, files=("compiled.py", "kernel.py"))
_REAL: Any = numba.float64
LINE, PLANE, SPACE = (numba.types.Array(_REAL, axes, "C", readonly=True) for axes in (1, 2, 3))
"""Arrays that a kernel only reads: what may be written to is taken as well."""
PAIR: Any = numba.types.UniTuple(_REAL, 2)


def outer(*types: Any) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Compile a kernel for its one set of types, a second the first time on a machine.

    Parameters
    ----------
    *types : numba type
        Of its arguments; it takes no others.

    Returns
    -------
    compiling : callable
        Turns a function into the kernel.
    """

    def compiling(function: Callable[..., Any]) -> Callable[..., Any]:
        kernel: Any = READOUT.outer(function)
        kernel.compile(types)
        kernel.disable_compile()
        return kernel

    return compiling
