"""Sums of loads along a body: the kernel, and which file it stands in."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels

__all__ = ["LOADS"]

LOADS: Final = Kernels(name="loads", home=Path(__file__).parent, files=("kernel.py",))
