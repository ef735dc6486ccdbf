"""The tether's kernel: which files it stands in."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels, inner

__all__ = ["TETHER", "inner", "outer"]

TETHER: Final = Kernels(
    name="tether", home=Path(__file__).parent, files=("layout.py", "motion.py", "kernel.py")
)
outer = TETHER.outer
