"""The flight's kernels: which files they stand in, and the types of the outermost ones."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels, inner

__all__ = ["FLIGHT", "MANY_SIGNATURE", "SIGNATURE", "inner", "is_compiled", "outer", "sources_hash"]

FLIGHT: Final = Kernels(
    name="flight",
    home=Path(__file__).parent,
    files=(
        "layout.py",
        "vectors.py",
        "burn.py",
        "air.py",
        "loads.py",
        "motion.py",
        "tableau.py",
        "tableau.csv",
        "pacing.py",
        "step.py",
        "events.py",
        "peaks.py",
        "run.py",
        "spread_layout.py",
        "random_numbers.py",
        "draws.py",
        "gusts.py",
        "vary.py",
        "many.py",
    ),
)
SIGNATURE: Final = (
    "void(int64[::1], float64[::1], float64[::1], float64[::1], float64[::1],"
    " float64[:, ::1], float64[:, ::1])"
)
"""Types of the outermost kernel: the same for every vehicle."""
MANY_SIGNATURE: Final = (
    "void(int64, int64[::1], float64[::1], int64[::1], float64[::1], float64[::1],"
    " float64[:, ::1], float64[:, ::1], float64[:, ::1])"
)
"""Types of the kernel that flies many."""
outer = FLIGHT.outer
sources_hash = FLIGHT.sources_hash


def is_compiled(kernel: str = "run.run") -> bool:
    """Say whether machine code for a kernel already lies in the cache folder.

    Parameters
    ----------
    kernel : str
        File and function, ``run.run`` or ``many.run_many``.

    Returns
    -------
    compiled : bool
        True if it does.
    """
    return FLIGHT.is_compiled(kernel)
