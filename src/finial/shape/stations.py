"""Where along the axis to cut first: both sides of every step, at corners, and evenly between."""

import itertools
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from finial.shape.creases import ASKEW_RAD, Step, corner_stations, ridges
from finial.shape.mesh import Mesh, area_columns
from finial.shape.ridges import ridge_ends

BESIDE_STEP_M = 20e-6
"""Distance of a cut from the step it stands beside [m]."""

_ROOM_M = 1.5 * BESIDE_STEP_M
"""Faces that are parted end so far from the cut between them."""

ONE_STEP_M = 0.3e-3
"""Flat faces nearer to one another along the axis than this are one step [m]."""

TIP_SHARE = 1e-4
"""A tip is cut so many lengths behind it, an end so many before it."""

_FLAT_FACE_M, _LEVEL_M = 30e-6, 1e-6
_FACE_SHARE = 0.5
"""A face that leans is a step where it is so much of all that looks its way there; else it is part of a
rounding."""
_STEP_SHARE = 1e-3
_RIDGE_SHARE = 0.1
_MOST_STEPS = 60
_MOST_KINKS = 60
_MANY_FACES = 200_000
_SPACES = 60
_APART_M = 0.1e-3
"""Corners that lie farther apart than that are cut one by one [m]: an edge that leans has two."""


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
    A face is flat if it reaches less than 30 um along the axis, or leans by less than 1.5 degrees; flat faces
    whose planes meet the axis within 0.3 mm are one step: all feet of a chair that leans a little.
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
    return _steps(_every_face(meshes), across_area_m2)


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
    As ``steps``, but only of faces of one plane, and only where they reach more than 1 um along the axis.
    Amid such a face an outline grows out of another's side within a tenth of a millimetre.

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
    return _askew(_every_face(meshes), across_area_m2)


def steps_and_askew(
    meshes: Sequence[Mesh], across_area_m2: float
) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
    """Both :func:`steps` and :func:`askew`, with one look at every face.

    Parameters
    ----------
    meshes : sequence of Mesh
        Meshes in body axes [m].
    across_area_m2 : float
        Area the faces are compared with [m^2].

    Returns
    -------
    steps, askew : tuple of Step
        As from the two [m].

    Notes
    -----
    As both.

    References
    ----------
    .. [1] As both.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> post = tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.1, height_m=1.0)])
    >>> steps_and_askew([post], 0.01) == (steps([post], 0.01), askew([post], 0.01))
    True
    """
    every = _every_face(meshes)
    return _steps(every, across_area_m2), _askew(every, across_area_m2)


def _steps(every: "_Faces", across_area_m2: float) -> tuple[Step, ...]:
    return _grouped(every, across_area_m2, ONE_STEP_M)


def _askew(every: "_Faces", across_area_m2: float) -> tuple[Step, ...]:
    found = _grouped(every, across_area_m2, _FLAT_FACE_M)
    return tuple(step for step in found if step.aft_m - step.fore_m > _LEVEL_M)


def standing_ridges(meshes: Sequence[Mesh], across_area_m2: float) -> tuple[Step, ...]:
    """Stretches that ridges across the axis take up, anywhere along it: steps without a face.

    Parameters
    ----------
    meshes : sequence of Mesh
        Meshes in body axes [m].
    across_area_m2 : float
        Area that ridges are compared with, as for ``steps`` [m^2].

    Returns
    -------
    found : tuple of Step
        First and last station of each [m], rising.

    Notes
    -----
    From a tenth of the square root of the area on; none is looked for among more than 200 000 faces. The
    ridge of a nave beside its tower is as wide at once as it is long: a cut amid it, where it leans, shows a
    point.

    References
    ----------
    .. [1] No published method: as flat faces.

    Examples
    --------
    >>> from finial.shape.tiers import Tier, tiers_mesh
    >>> standing_ridges([tiers_mesh([Tier(sides=4, across_m=0.1, across_top_m=0.05, height_m=1.0)])], 0.01)
    ()
    """
    if sum(len(mesh.faces) for mesh in meshes) > _MANY_FACES:
        return ()
    least_m = _RIDGE_SHARE * float(np.sqrt(across_area_m2))
    found = [step for mesh in meshes for step in ridges(mesh, least_m)]
    return tuple(sorted(found, key=lambda step: step.fore_m))


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


def parted_faces(found: Sequence[Step]) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
    """Faces that lean, those of one thin plate parted midway between them, and where that is.

    Parameters
    ----------
    found : sequence of Step
        As ``askew`` finds them, rising [m].

    Returns
    -------
    parted, midway : tuple of Step
        The faces, and a place to cut between each pair that overlapped [m].

    Notes
    -----
    A deck of 3 mm and 180 mm across that leans by a degree has no cut that is amid neither of its
    faces: without one midway it would not be seen at all. What the cut shows becomes narrower the more the
    deck leans.

    References
    ----------
    .. [1] No published method.

    Examples
    --------
    >>> front = Step(fore_m=0.100, aft_m=0.104, looks=1)
    >>> back = Step(fore_m=0.103, aft_m=0.107, looks=-1)
    >>> (one, other), (midway,) = parted_faces([front, back])
    >>> round(one.aft_m, 5), round(midway.fore_m, 5), round(other.fore_m, 5)
    (0.10347, 0.1035, 0.10353)
    """
    parted, midway = list(found), list[Step]()
    for first, second in itertools.permutations(range(len(parted)), 2):
        front, back = parted[first], parted[second]
        near = front.fore_m < back.fore_m < front.aft_m + 2 * _ROOM_M and front.aft_m < back.aft_m
        if near and front.looks == 1 and back.looks == -1:
            middle = (back.fore_m + front.aft_m) / 2
            midway.append(Step(fore_m=middle, aft_m=middle))
            parted[first] = replace(front, aft_m=middle - _ROOM_M)
            parted[second] = replace(back, fore_m=middle + _ROOM_M)
    return tuple(parted), tuple(midway)


_Column = NDArray[np.float64]
_Faces = tuple[_Column, _Column, _Column, _Column]
"""Of every face its first and last station, its area seen along the axis and how it looks, and its plane."""


def _grouped(every: _Faces, across_area_m2: float, gap_m: float) -> tuple[Step, ...]:
    """Flat faces of planes no farther apart on the axis than the gap, where they are large enough."""
    fore, aft, looks, plane = every
    flat = ~np.isnan(plane)
    order = np.flatnonzero(flat)[np.argsort(plane[flat])]
    if not len(order):
        return ()
    group = np.cumsum(np.concatenate([[0], np.diff(plane[order]) > gap_m]))
    totals = np.bincount(group, weights=np.abs(looks[order]))
    largest = np.sort(totals)[::-1][:_MOST_STEPS][-1]
    found: list[Step] = []
    for number in np.flatnonzero((totals >= _STEP_SHARE * across_area_m2) & (totals >= largest)):
        own = order[group == number]
        ways = np.unique(np.sign(looks[own]))
        step = Step(
            fore_m=float(fore[own].min()),
            aft_m=float(aft[own].max()),
            looks=int(ways[0]) if len(ways) == 1 else 0,
        )
        if step.aft_m - step.fore_m <= _FLAT_FACE_M or _filled(step, own, fore, aft, looks) > _FACE_SHARE:
            found.append(step)
    return tuple(sorted(found, key=lambda step: step.fore_m))


def _filled(step: Step, own: NDArray[np.int64], fore: _Column, aft: _Column, looks: _Column) -> float:
    """Share that a face has of all that looks its way over its stretch: small for a facet of a rounding."""
    run = np.minimum(aft, step.aft_m) - np.maximum(fore, step.fore_m)
    there = looks * np.clip(run / np.maximum(aft - fore, 1e-12), 0.0, 1.0)
    its_way = max(float(np.maximum(there, 0.0).sum()), float(np.maximum(-there, 0.0).sum()))
    return float(np.abs(looks[own]).sum()) / max(its_way, 1e-300)


def _every_face(meshes: Sequence[Mesh]) -> _Faces:
    looked_at = (_faces(corners) for mesh in meshes for corners in mesh.corner_columns_m())
    fore, aft, looks, plane = (np.concatenate(column) for column in zip(*looked_at, strict=True))
    return fore, aft, looks, plane


def _faces(corners: NDArray[np.float64]) -> _Faces:
    """Look at some faces: planes by where they meet the axis, none for faces that are not flat."""
    one, two, three = -corners[0]
    fore, aft = np.minimum(np.minimum(one, two), three), np.maximum(np.maximum(one, two), three)
    areas = area_columns(corners)
    looks = areas[0]
    around = np.sqrt(looks * looks + areas[1] * areas[1] + areas[2] * areas[2])
    # A mesh that leans a little has its flat faces still, each a little askew; all feet in one plane.
    leans = np.abs(looks) > np.cos(ASKEW_RAD) * around
    plane = np.full(len(looks), np.nan)
    flat = np.flatnonzero(leans | (aft - fore < _FLAT_FACE_M))
    along, *across = (corners[:, 0, flat] + corners[:, 1, flat] + corners[:, 2, flat]) / 3.0
    turned, seen = leans[flat], np.where(leans[flat], looks[flat], 1.0)
    y, z = (np.where(turned, areas[axis, flat], 0.0) / seen * across[axis - 1] for axis in (1, 2))
    plane[flat] = -along - (y + z)
    return fore, aft, looks, plane


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
    the rest lie no more than a sixtieth of the length apart. Stations of corners are kinks, the 60 with the
    longest edges, if there are no more than 120 of them and 200 000 faces; none is nearer to another cut
    than 1/2000 of the length.

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
    first = length_m * TIP_SHARE
    last = length_m - first
    last = min((s.fore_m - BESIDE_STEP_M for s in found if s.aft_m > length_m - ONE_STEP_M), default=last)
    first = max((s.aft_m + BESIDE_STEP_M for s in found if s.fore_m < ONE_STEP_M), default=first)
    # A cut amid a ridge that leans a little shows a point, and one behind it the whole ridge.
    ridge, last_ridge = ridge_ends(meshes)
    first, last = max(first, ridge + BESIDE_STEP_M), min(last, last_ridge - BESIDE_STEP_M)
    fixed = np.array([first, *beside, last])
    fixed = np.unique(fixed[(fixed >= first) & (fixed <= last)])
    fixed = _with(fixed, _kinks(meshes), length_m)
    return _with(fixed, _between(fixed, length_m / _SPACES), length_m)


def _kinks(meshes: Sequence[Mesh]) -> NDArray[np.float64]:
    """Stations of corners, when there are few: edges of plain shapes run there.

    One edge that leans may have two: of up to twice as many as there may be the longest edges count.
    """
    if sum(len(mesh.faces) for mesh in meshes) > _MANY_FACES:
        return np.empty(0)
    station, length = (np.concatenate(each) for each in zip(*map(corner_stations, meshes), strict=True))
    values, which = np.unique(np.round(station / ONE_STEP_M), return_inverse=True)
    if not 0 < len(values) <= 2 * _MOST_KINKS:
        return np.empty(0)
    longest = np.argsort(-np.bincount(which, weights=length), kind="stable")[:_MOST_KINKS]
    return np.sort(np.concatenate([_places(station[which == one]) for one in longest]))


def _places(stations_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where corners of about one station stand: in the middle of all, or of those on each side of a gap."""
    rising = np.sort(stations_m)
    gaps = np.diff(rising)
    if not len(gaps) or gaps.max() < _APART_M:
        return np.array([rising.mean()])
    return np.array([part.mean() for part in np.split(rising, [int(np.argmax(gaps)) + 1])])


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
