"""What reads traces: the kernels, and which files they stand in."""

from pathlib import Path
from typing import Final

from finial.core.compiled import Kernels

__all__ = ["READOUT"]

READOUT: Final = Kernels(name="readout", home=Path(__file__).parent, files=("kernel.py",))
