"""The outside of the vehicle, as pictures and findings take it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh
from finial.shape.skin import Skin


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeResult:
    """The outside, without and with fins."""

    skin: Skin
    display_mesh: Mesh
    """Skin and fins in body axes, for pictures."""
    fin_faces: NDArray[np.bool_]
    """(m,) true where a face of ``display_mesh`` belongs to a fin."""
    fins: tuple[FinSet, ...]
    across_m: tuple[float, float]
    """Largest extent along body y and z [m], without fins."""
    repairs: tuple[str, ...]
    open_parts: tuple[str, ...] = ()
    """Parts with holes that could not be closed."""
    mended: tuple[str, ...] = ()
    """Parts whose mesh was no closed body as drawn, and was made one."""
    crossing: tuple[str, ...] = ()
    """Parts whose surface passes through itself."""
