"""What reads traces: the kernels, which files they stand in, and their types."""

from functools import cache
from pathlib import Path
from typing import Any, Final

import numba

from finial.core.compiled import Kernels

__all__ = ["READOUT", "compiled", "outer"]

READOUT: Final = Kernels(name="readout", home=Path(__file__).parent, files=("kernel.py",))
outer = READOUT.outer
_REAL, _WHOLE = numba.float64, numba.int64
_LINE, _PLANE, _SPACE = (numba.types.Array(_REAL, axes, "C", readonly=True) for axes in (1, 2, 3))
_TABLE = (_LINE, _LINE, _SPACE, _SPACE, _REAL, _REAL)
_SIGNATURES: Final = {
    "righting": (_LINE, _LINE, _LINE, *_TABLE),
    "least_sine": (_LINE, _LINE, _LINE, _LINE, _LINE, _LINE, _LINE),
}


@cache
def compiled(name: str) -> Any:
    """Return a kernel with machine code for its one set of types: what may be written to is taken as well.

    Parameters
    ----------
    name : str
        Of the kernel.

    Returns
    -------
    kernel : callable
        Takes no other types.

    Notes
    -----
    Compiled for a second or two the first time on a machine.

    References
    ----------
    .. [1] Definitions, no source.

    Examples
    --------
    >>> import numpy as np
    >>> one = np.ones(1)
    >>> compiled("least_sine")(one, one, one, one, one, one, 0.5 * one)
    0.5
    """
    from finial.flight.readout import kernel

    found = getattr(kernel, name)
    found.compile(_SIGNATURES[name])
    found.disable_compile()
    return found
