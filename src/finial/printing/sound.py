"""A solid as it will be read back from its file: rounded, and still one closed body."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import MeshError
from finial.shape.mesh import Mesh
from finial.shape.united import Body, loose_bodies, mesh_of, solid_of_mesh

_TOLERANCES_MM = (0.0005, 0.001, 0.002, 0.005, 0.01)
"""Detail finer than this is left out, the finest first [mm]: rounding would fold it over."""
VOLUME_SHARE = 1e-6
"""Volume may change by this share when a piece is written [-], that of a shell by what rounding moves."""
_HALF_BIT = 2.0**-24
"""A 32-bit number is off by at most this share of itself [-]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sound:
    """A piece in millimetres, every coordinate as a 32-bit number holds it."""

    vertices_mm: NDArray[np.float64]
    faces: NDArray[np.int64]
    volume_mm3: float


def sound(solid: Body, name: str) -> Sound:
    """Round a solid to what a file holds and look whether it is still one closed body.

    Parameters
    ----------
    solid : manifold3d.Manifold
        A piece in millimetres, near the origin.
    name : str
        What to call it where it fails.

    Returns
    -------
    sound : Sound
        The piece as it will be read back [mm].

    Raises
    ------
    MeshError
        If no rounding leaves it closed, in one piece and as large as it was.

    Notes
    -----
    STL holds 32-bit numbers: 0.03 um at 300 mm. Corners that fall together are joined, faces without an area
    dropped, detail of half a thousandth of a millimetre left out, or of more where that does not do.

    References
    ----------
    .. [1] Binary STL: 32-bit little-endian numbers; IEEE 754 single precision.

    Examples
    --------
    >>> import manifold3d
    >>> round(sound(manifold3d.Manifold.cube((10.0, 20.0, 30.0)), "box").volume_mm3, 6)
    6000.0
    """
    import manifold3d

    before = solid.volume()
    why = "it crosses itself or stays open"
    for tolerance in _TOLERANCES_MM:
        rounded = _rounded(mesh_of(solid.simplify(tolerance)))
        again = solid_of_mesh(rounded)
        if again.status() != manifold3d.Error.NoError or again.is_empty():
            continue
        if len(loose_bodies(again)) != 1:
            why = "it falls into several bodies"
            continue
        if abs(again.volume() - before) > max(VOLUME_SHARE * before, _moved_by_rounding(solid)):
            why = "its volume changes"
            continue
        return Sound(vertices_mm=rounded.vertices_m, faces=rounded.faces, volume_mm3=float(again.volume()))
    raise MeshError(f"{name}: rounded as in a file it is no sound body any more: {why}")


def _moved_by_rounding(solid: Body) -> float:
    """Volume that lies between a skin and the same skin half a last bit further out [mm^3]."""
    reach = max(abs(end) for end in solid.bounding_box())
    return float(solid.surface_area()) * reach * _HALF_BIT


def _rounded(mesh: Mesh) -> Mesh:
    """Round to 32 bits, join what falls together, drop faces that have no three corners left."""
    points = mesh.vertices_m.astype(np.float32).astype(np.float64) + 0.0
    vertices, joined = np.unique(points, axis=0, return_inverse=True)
    faces = joined.reshape(-1)[mesh.faces]
    whole = (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])
    return Mesh(vertices_m=vertices, faces=faces[whole])
