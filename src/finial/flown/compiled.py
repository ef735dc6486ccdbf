"""The smoothers' kernels: which files they stand in."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels, inner

__all__ = ["FLOWN", "inner", "outer"]

FLOWN: Final = Kernels(name="flown", home=Path(__file__).parent, files=("kernel.py", "leaning_kernel.py"))
outer = FLOWN.outer
