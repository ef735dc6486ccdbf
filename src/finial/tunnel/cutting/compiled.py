"""Kernels that cut the lattice: which files they stand in."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels, inner

__all__ = ["CUTTING", "inner", "outer"]

CUTTING: Final = Kernels(
    name="cutting",
    home=Path(__file__).parent,
    files=("crossings.py", "pieces.py", "tree.py", "sweep.py", "seams.py"),
)
outer = CUTTING.outer
