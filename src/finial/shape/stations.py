"""Where along the axis to cut: both sides of every step, and closer where the shape changes."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.shape.mesh import Mesh

BESIDE_STEP_M = 20e-6
"""Distance of a cut from the step it stands beside [m]."""

ONE_STEP_M = 0.3e-3
"""Flat faces nearer to one another along the axis than this are one step [m]."""

_FLAT_FACE_M = 30e-6
_STEP_SHARE = 1e-3
_MOST_STEPS = 60
_MOST_KINKS = 60
_SPACES = 60
_TIP_SHARE = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A place where flat faces look along the axis: its first and last station [m]."""

    fore_m: float
    aft_m: float


def steps(meshes: Sequence[Mesh], across_area_m2: float) -> tuple[Step, ...]:
    """Places whose flat faces, seen along the axis, make up a thousandth of the frontal area.

    At most 60, the largest; rising.
    """
    fore, aft, area = (np.concatenate(column) for column in zip(*map(_flat_faces, meshes), strict=True))
    if not len(fore):
        return ()
    order = np.argsort(fore)
    fore, aft, area = fore[order], aft[order], area[order]
    group = np.cumsum(np.concatenate([[0], np.diff(fore) > ONE_STEP_M]))
    totals = np.bincount(group, weights=area)
    largest = np.sort(totals)[::-1][:_MOST_STEPS][-1]
    chosen = np.flatnonzero((totals >= _STEP_SHARE * across_area_m2) & (totals >= largest))
    return tuple(
        Step(fore_m=float(fore[group == number].min()), aft_m=float(aft[group == number].max()))
        for number in chosen
    )


def _flat_faces(mesh: Mesh) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    one, two, three = -mesh.vertices_m[:, 0][mesh.faces.T]
    fore, aft = np.minimum(np.minimum(one, two), three), np.maximum(np.maximum(one, two), three)
    flat = aft - fore < _FLAT_FACE_M
    corners = mesh.vertices_m[:, 1:][mesh.faces[flat]]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return fore[flat], aft[flat], np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2


def first_cuts(meshes: Sequence[Mesh], length_m: float, found: Sequence[Step]) -> NDArray[np.float64]:
    """Stations to begin with [m], rising: beside steps, at kinks, and evenly in between."""
    beside = [side for step in found for side in (step.fore_m - BESIDE_STEP_M, step.aft_m + BESIDE_STEP_M)]
    first = length_m * _TIP_SHARE
    last = length_m - (BESIDE_STEP_M if found and found[-1].aft_m > length_m - ONE_STEP_M else first)
    if found and found[0].fore_m < ONE_STEP_M:
        first = found[0].aft_m + BESIDE_STEP_M
    fixed = np.array([first, *beside, last])
    fixed = np.unique(fixed[(fixed >= first) & (fixed <= last)])
    fixed = _with(fixed, _kinks(meshes), length_m)
    return _with(fixed, _between(fixed, length_m / _SPACES), length_m)


def _kinks(meshes: Sequence[Mesh]) -> NDArray[np.float64]:
    """Stations shared by vertices, when there are few: edges of plain shapes run there."""
    station = np.concatenate([-mesh.vertices_m[:, 0] for mesh in meshes])
    values = np.unique(np.round(station / ONE_STEP_M)) * ONE_STEP_M
    return values if len(values) <= _MOST_KINKS else np.empty(0)


def _between(fixed: NDArray[np.float64], spacing_m: float) -> NDArray[np.float64]:
    pieces = [
        np.linspace(a, b, int(np.ceil((b - a) / spacing_m)), endpoint=False)[1:]
        for a, b in itertools.pairwise(fixed)
        if b - a > spacing_m
    ]
    return np.concatenate(pieces) if pieces else np.empty(0)


def _with(fixed: NDArray[np.float64], more: NDArray[np.float64], length_m: float) -> NDArray[np.float64]:
    """Add stations that do not crowd the fixed ones."""
    inside = more[(more > fixed[0]) & (more < fixed[-1])]
    if not len(inside):
        return fixed
    after = np.clip(np.searchsorted(fixed, inside), 1, len(fixed) - 1)
    distance = np.minimum(np.abs(inside - fixed[after - 1]), np.abs(inside - fixed[after]))
    return np.union1d(fixed, inside[distance > length_m / 2000])


def finer(
    stations_m: NDArray[np.float64], changes: NDArray[np.float64], smallest_m: float, room: int
) -> NDArray[np.float64]:
    """Midpoints of the spaces over which the shape changes most [m], at most ``room``.

    ``changes`` tells for each space how far it is over the limit: above 1 it is split.
    """
    wide = np.diff(stations_m) > smallest_m
    wanted = np.flatnonzero(wide & (changes > 1.0))
    worst = wanted[np.argsort(-changes[wanted])][: max(room, 0)]
    return np.sort((stations_m[worst] + stations_m[worst + 1]) / 2)
