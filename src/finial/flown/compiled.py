"""The smoother's kernel: which files it stands in."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels, inner

__all__ = ["FLOWN", "inner", "outer"]

FLOWN: Final = Kernels(name="flown", home=Path(__file__).parent, files=("kernel.py",))
outer = FLOWN.outer
