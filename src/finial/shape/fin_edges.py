"""How blunt the edges of fins are that are part of a mesh."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.fin_set import FinSet
from finial.shape.mesh import Mesh, area_columns

_SHOULDER = 0.15
"""Share of an edge's frontal area, from outside in, that its shoulder takes."""
_CLEAR = 0.08
"""Share of the span at root and tip that is not looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeBluntness:
    """Squared sine of the slope of the walls at the shoulders, against the axis: 1 for a square edge [-]."""

    lead: float
    trail: float


def edge_bluntness(fin: FinSet, meshes: Sequence[Mesh]) -> EdgeBluntness | None:
    r"""Look up the walls of the first fin of a set in its meshes.

    .. math::  b = \overline{n_x^2} \quad \mathrm{over\ the\ outermost\ 15\ \%\ of\ } \sum |n_x| \, dS

    Parameters
    ----------
    fin : FinSet
        The set, as it was found [m].
    meshes : sequence of Mesh
        Meshes in body axes [m].

    Returns
    -------
    blunt : EdgeBluntness or None
        Both edges [-]; ``None`` where the meshes show no walls of the fin.

    Notes
    -----
    A square edge swept by :math:`\Lambda` has :math:`\cos^2 \Lambda`; a round one nearly nothing,
    since its wall has turned along the wind at the shoulder; a wedge the squared sine of its half
    angle. Flat facets as the mesh has them.

    References
    ----------
    .. [1] Definition; what a shoulder is, is a judgement.

    Examples
    --------
    >>> from finial.shape.fin_set import FinSet
    >>> fin = FinSet(name="", outline_m=np.array([[0, 0], [0, 0.1], [0.1, 0.1], [0.1, 0]]), station_m=0.5,
    ...               root_radius_m=0.05, first_at_rad=0.0, count=1, thickness_m=0.01)
    >>> edge_bluntness(fin, []) is None
    True
    """
    areas, middles = _walls(meshes)
    if not len(areas):
        return None
    outward = np.array([np.cos(fin.first_at_rad), np.sin(fin.first_at_rad)])
    aside = np.array([-outward[1], outward[0]])
    height, off = middles[:, 1:] @ outward - fin.root_radius_m, middles[:, 1:] @ aside
    along = -middles[:, 0] - fin.station_m
    span, chord = float(fin.outline_m[:, 1].max()), float(np.ptp(fin.outline_m[:, 0]))
    near = (
        (np.abs(off) < 0.75 * max(fin.thickness_m, 1e-4))
        & (height > _CLEAR * span)
        & (height < (1 - _CLEAR) * span)
        & (along > -0.05 * chord)
        & (along < 1.05 * chord)
    )
    ahead = along < _mid_chord(fin, height)
    ends = [_shoulder(areas[near & side], off[near & side]) for side in (ahead, ~ahead)]
    if ends[0] is None or ends[1] is None:
        return None
    return EdgeBluntness(lead=ends[0], trail=ends[1])


def _walls(meshes: Sequence[Mesh]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Area vectors of all faces and their middles, (n, 3) each."""
    if not meshes:
        return np.empty((0, 3)), np.empty((0, 3))
    corners = [each for mesh in meshes for each in mesh.corner_columns_m()]
    middles = [(each[:, 0] + each[:, 1] + each[:, 2]) / 3.0 for each in corners]
    return np.hstack([area_columns(each) for each in corners]).T, np.hstack(middles).T


def _mid_chord(fin: FinSet, height_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Station of the middle of the chord at each height, aft of the fin's own."""
    outline = fin.outline_m
    fine = np.linspace(0.0, float(outline[:, 1].max()), 21)
    corners = np.arange(len(outline))
    round_it = np.linspace(0.0, len(outline) - 1, 400)
    edge, out = np.interp(round_it, corners, outline[:, 0]), np.interp(round_it, corners, outline[:, 1])
    near = np.abs(out - fine[:, None]) < 0.06 * fine[-1]
    middle = np.array([(edge[row].min() + edge[row].max()) / 2 if row.any() else np.nan for row in near])
    known = np.isfinite(middle)
    return np.interp(height_m, fine[known], middle[known])


def _shoulder(areas_m2: NDArray[np.float64], off_m: NDArray[np.float64]) -> float | None:
    """Mean squared sine over the outermost share of an edge's frontal area."""
    seen = np.abs(areas_m2[:, 0])
    if not seen.sum() > 0:
        return None
    size = np.maximum(np.linalg.norm(areas_m2, axis=1), 1e-300)
    order = np.argsort(-np.abs(off_m))
    reach = np.cumsum(seen[order])
    share = np.clip(_SHOULDER * reach[-1] - (reach - seen[order]), 0.0, seen[order])
    return float(np.sum(share * (areas_m2[order, 0] / size[order]) ** 2) / share.sum())
