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
_ASKEW_RAD = np.radians(1.5)
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
    """Places whose flat faces, seen along the axis, are large enough to make a step.

    Parameters
    ----------
    meshes : sequence of Mesh
        Meshes in body axes [m].
    across_area_m2 : float
        Area the faces are compared with [m^2]: that of the rectangle around the front view.

    Returns
    -------
    found : tuple of Step
        First and last station of each step [m], rising.

    Notes
    -----
    A face is flat if it reaches less than 30 um along the axis; flat faces within 0.3 mm are one step.
    A step counts from a thousandth of the area on; of more than 60 steps the largest are kept.

    References
    ----------
    .. [1] No published method: the limits are of the size of a printed layer.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> tiers = [Tier(sides=4, across_m=wide, across_top_m=wide, height_m=0.5) for wide in (0.1, 0.06)]
    >>> [abs(round(step.fore_m, 6)) for step in steps([tiers_mesh(tiers)], 0.01)]
    [0.0, 0.5, 1.0]
    """
    return _grouped(meshes, across_area_m2, ONE_STEP_M)


def askew(meshes: Sequence[Mesh], across_area_m2: float) -> tuple[Step, ...]:
    """Stretches that one flat face which stands a little askew takes up: no cut means anything there.

    Parameters
    ----------
    meshes : sequence of Mesh
        Meshes in body axes [m].
    across_area_m2 : float
        Area the faces are compared with, as for ``steps`` [m^2].

    Returns
    -------
    found : tuple of Step
        First and last station of each [m], rising.

    Notes
    -----
    As ``steps``, but only of faces that overlap along the axis, and only where they reach 30 um or more along
    it. Amid such a face an outline grows out of another's side within a tenth of a millimetre.

    References
    ----------
    .. [1] No published method: the limits are of the size of a printed layer.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> askew([post], 0.01)
    ()
    >>> points = post.vertices_m + 0.01 * post.vertices_m[:, [1, 0, 0]] * [1.0, 0.0, 0.0]
    >>> leaning = Mesh(vertices_m=points, faces=post.faces)
    >>> [round(1e3 * (one.aft_m - one.fore_m), 1) for one in askew([leaning], 0.01)]
    [1.0, 1.0]
    """
    found = _grouped(meshes, across_area_m2, 0.0)
    return tuple(step for step in found if step.aft_m - step.fore_m > _FLAT_FACE_M)


def without_askew(stations_m: NDArray[np.float64], found: Sequence[Step]) -> NDArray[np.float64]:
    """Stations but for those amid a face that stands a little askew.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    found : sequence of Step
        As ``askew`` finds them.

    Returns
    -------
    stations_m : ndarray, shape (m,)
        Those that stay [m].

    Notes
    -----
    Those that stand 20 um beside it stay.

    References
    ----------
    .. [1] Definition, no source.

    Examples
    --------
    >>> without_askew(np.array([0.1, 0.2, 0.3]), [Step(fore_m=0.15, aft_m=0.25)]).tolist()
    [0.1, 0.3]
    """
    amid = np.zeros(len(stations_m), dtype=bool)
    for step in found:
        amid |= (stations_m > step.fore_m) & (stations_m < step.aft_m)
    return stations_m[~amid]


def _grouped(meshes: Sequence[Mesh], across_area_m2: float, gap_m: float) -> tuple[Step, ...]:
    """Flat faces that lie no farther apart along the axis than the gap, where they are large enough."""
    fore, aft, area = (np.concatenate(column) for column in zip(*map(_flat_faces, meshes), strict=True))
    if not len(fore):
        return ()
    order = np.argsort(fore)
    fore, aft, area = fore[order], aft[order], area[order]
    so_far = np.maximum.accumulate(aft)
    group = np.cumsum(np.concatenate([[0], fore[1:] - so_far[:-1] > gap_m]))
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
    corners = mesh.vertices_m[mesh.faces]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    seen = np.abs(u[:, 1] * v[:, 2] - u[:, 2] * v[:, 1]) / 2
    around = np.linalg.norm(np.cross(u, v), axis=1) / 2
    # A mesh that leans a little has its flat faces still, each a little askew.
    flat = (aft - fore < _FLAT_FACE_M) | (seen > np.cos(_ASKEW_RAD) * around)
    return fore[flat], aft[flat], seen[flat]


def first_cuts(meshes: Sequence[Mesh], length_m: float, found: Sequence[Step]) -> NDArray[np.float64]:
    """Stations to begin with: beside steps, at kinks, and evenly in between.

    Parameters
    ----------
    meshes : sequence of Mesh
        Meshes in body axes [m].
    length_m : float
        Length of the vehicle [m].
    found : sequence of Step
        Its steps, rising.

    Returns
    -------
    stations_m : ndarray, shape (n,)
        Rising stations [m].

    Notes
    -----
    A cut stands 20 um off each step and a ten-thousandth of the length off a tip or an end without one;
    the rest lie no more than a sixtieth of the length apart. Stations that many vertices share are
    kinks, if there are no more than 60 of them; none is nearer to another cut than 1/2000 of the length.

    References
    ----------
    .. [1] No published method: numbers chosen so that volume and area of plain solids come out within
       0.1 %; the tests of plain shapes hold that.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> stations = first_cuts([post], 1.0, steps([post], 0.01))
    >>> len(stations), round(float(stations[0]), 6), round(float(stations[-1]), 6)
    (61, 2e-05, 0.99998)
    """
    beside = [side for step in found for side in (step.fore_m - BESIDE_STEP_M, step.aft_m + BESIDE_STEP_M)]
    first = length_m * _TIP_SHARE
    last = length_m - first
    if found and found[-1].aft_m > length_m - ONE_STEP_M:
        last = found[-1].fore_m - BESIDE_STEP_M
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
    pieces: list[NDArray[np.float64]] = [
        np.linspace(a, b, int(np.ceil((b - a) / spacing_m)), endpoint=False)[1:]
        for a, b in itertools.pairwise(fixed)
        if b - a > spacing_m
    ]
    return np.concatenate(pieces) if pieces else np.empty(0)


def _with(fixed: NDArray[np.float64], more: NDArray[np.float64], length_m: float) -> NDArray[np.float64]:
    """Add stations that do not crowd the fixed ones."""
    if not len(fixed):
        return np.unique(more)
    inside = more[(more > fixed[0]) & (more < fixed[-1])]
    if not len(inside):
        return fixed
    after = np.clip(np.searchsorted(fixed, inside), 1, len(fixed) - 1)
    distance = np.minimum(np.abs(inside - fixed[after - 1]), np.abs(inside - fixed[after]))
    return np.union1d(fixed, inside[distance > length_m / 2000])


def finer(
    stations_m: NDArray[np.float64], changes: NDArray[np.float64], smallest_m: float, room: int
) -> NDArray[np.float64]:
    """Midpoints of the spaces over which the shape changes most.

    Parameters
    ----------
    stations_m : ndarray, shape (n,)
        Rising stations [m].
    changes : ndarray, shape (n - 1,)
        How far the change over each space is over its limit [-]: above 1 it is split.
    smallest_m : float
        A space no longer than this is not split [m].
    room : int
        How many stations may be added.

    Returns
    -------
    added_m : ndarray, shape (a,)
        Rising midpoints [m].

    Notes
    -----
    Halves once: call again with the changes found at the new stations.

    References
    ----------
    .. [1] Bisection; definition.

    Examples
    --------
    >>> finer(np.array([0.0, 1.0, 2.0]), np.array([0.5, 3.0]), 0.1, 10).tolist()
    [1.5]
    """
    wide = np.diff(stations_m) > smallest_m
    wanted = np.flatnonzero(wide & (changes > 1.0))
    worst = wanted[np.argsort(-changes[wanted])][: max(room, 0)]
    return np.sort((stations_m[worst] + stations_m[worst + 1]) / 2)
