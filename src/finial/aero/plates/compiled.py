"""Vortex lattices of flat plates: the kernel, and which file it stands in."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels

__all__ = ["PLATES"]

PLATES: Final = Kernels(name="plates", home=Path(__file__).parent, files=("kernel.py",))
