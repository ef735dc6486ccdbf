"""One solve for all sections that are copies of one another in another size or place."""

from collections.abc import Callable, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from finial.aero.sections.added_mass import added_mass_tensor
from finial.core.errors import MeshError
from finial.shape.skin import Loop, Section

_SAME = 1e-4
_PER_GAP, _TOUCHING = 0.02, 1e-5
"""Two outlines move more air by about 0.02 of it for every e that the gap between them is narrower."""
_GAUSS = np.polynomial.legendre.leggauss(3)
_POWERS = [(i, order - i) for order in (2, 3, 4) for i in range(order + 1)]


def fingerprint(section: Section) -> NDArray[np.float64]:
    r"""Numbers that two outlines share when one is a scaled, shifted copy of the other.

    .. math::  \left( \frac{P}{\sqrt{A}}, \; \frac{1}{A^{1 + (p + q) / 2}} \int y^p z^q \, dA \right), \qquad
    p + q = 2, 3, 4

    about the centroid; the area integrals by Green's theorem.

    Parameters
    ----------
    section : Section
        Outlines [m] with an area above zero.

    Returns
    -------
    numbers : ndarray, shape (13,)
        Perimeter, then the moments of second to fourth order [-].

    Notes
    -----
    A turned copy has other numbers. Two shapes that differ in moments above the fourth alone, such as
    polygons of many sides against a circle, are told apart by their perimeters or taken as one.

    References
    ----------
    .. [1] Moments of area and Green's theorem: any text on calculus.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, section_of
    >>> small, large = (section_of(0.0, [size * ellipse(1.0, 2.0) + size]) for size in (1.0, 3.0))
    >>> bool(np.allclose(fingerprint(small), fingerprint(large))), fingerprint(small).shape
    (True, (13,))
    """
    size = np.sqrt(section.area_m2)
    loops = [(loop - np.asarray(section.centroid_m)) / size for loop in section.loops]
    start = np.vstack(loops)
    end = np.vstack([np.roll(loop, -1, axis=0) for loop in loops])
    nodes, weights = (_GAUSS[0] + 1) / 2, _GAUSS[1] / 2
    y, z = np.moveaxis(start[:, None] + nodes[:, None] * (end - start)[:, None], -1, 0)
    rise = weights * (end - start)[:, 1:]
    # Green's theorem: the area integral of y^p z^q is the line integral of y^(p+1) z^q / (p+1) dz.
    moments = [float(np.sum(y ** (p + 1) * z**q * rise)) / (p + 1) for p, q in _POWERS]
    return np.array([section.perimeter_m / size, *moments])


def per_shape(
    sections: Sequence[Section], solve: Callable[[Sequence[Loop]], NDArray[np.float64]]
) -> tuple[NDArray[np.float64], int]:
    """Evaluate a function of outlines once per distinct shape, on outlines of unit area about the origin.

    Parameters
    ----------
    sections : sequence of Section
        Sections, tip to base.
    solve : callable
        From outlines of unit area [-] to an array [any] that scales with nothing but them.

    Returns
    -------
    answers : ndarray, shape (n, ...)
        One a section, stacked along the first axis [any].
    solved : int
        How many shapes were solved.

    Raises
    ------
    MeshError
        If no section has an area.

    Notes
    -----
    Shapes are one if they have as many outlines, and fingerprints and the logarithm of the narrowest gap
    between outlines differ by less than 1e-4 of the first number: answers then differ by about as much.
    Sections of less than 1e-7 of the largest area repeat the answer of a neighbour.

    References
    ----------
    .. [1] Similarity: added mass and crossflow drag of a section depend on its size by its area or width
       alone.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, section_of
    >>> round_ones = [section_of(x, [ellipse(size, size)]) for x, size in ((0.0, 1.0), (1.0, 2.0))]
    >>> per_shape(round_ones, lambda loops: np.array([len(loops)]))
    (array([[1],
           [1]]), 1)
    """
    largest = max(section.area_m2 for section in sections)
    known: list[tuple[NDArray[np.float64], NDArray[np.float64]]] = []
    answers: list[NDArray[np.float64] | None] = []
    for section in sections:
        if section.area_m2 <= 1e-7 * largest or not section.loops:
            answers.append(None)
            continue
        mark = np.append(fingerprint(section), _between(section))
        found = next((a for m, a in reversed(known) if np.abs(m - mark).max() < _SAME * mark[0]), None)
        if found is None:
            size = np.sqrt(section.area_m2)
            found = solve([(loop - np.asarray(section.centroid_m)) / size for loop in section.loops])
            known.append((mark, found))
        answers.append(found)
    filled = [answer for answer in answers if answer is not None]
    if not filled:
        raise MeshError("no section of the skin has an area")
    last = filled[0]
    for index, answer in enumerate(answers):
        last = last if answer is None else answer
        answers[index] = last
    return np.array(answers), len(known)


def _between(section: Section) -> tuple[float, float]:
    """How many outlines there are, and how narrow the narrowest gap between two is."""
    number = len(section.loops)
    if number < 2:
        return float(number), 0.0
    import shapely

    rings = [shapely.LinearRing(loop) for loop in section.loops]
    gap = min(float(one.distance(other)) for one, other in combinations(rings, 2))
    return float(number), _PER_GAP * float(np.log(max(gap / np.sqrt(section.area_m2), _TOUCHING)))


def section_tensors(sections: Sequence[Section]) -> tuple[NDArray[np.float64], int]:
    """Added-mass tensors of all sections, and the number of solves.

    Parameters
    ----------
    sections : sequence of Section
        Sections, tip to base.

    Returns
    -------
    tensors_m2 : ndarray, shape (n, 2, 2)
        Added mass per density [m^2].
    solved : int
        How many shapes were solved.

    Raises
    ------
    MeshError
        If no section has an area.

    Notes
    -----
    Error of ``added_mass_tensor`` and of ``per_shape``. Sections of
    ``per_shape`` have outlines: no ``OutsideRange``.

    References
    ----------
    .. [1] Added mass grows with the area of a shape: definition.

    Examples
    --------
    >>> from finial.aero.sections.outlines import ellipse, section_of
    >>> tensors, solved = section_tensors([section_of(0.0, [ellipse(1.0, 1.0)])])
    >>> round(float(tensors[0, 0, 0] / np.pi), 2), solved
    (1.0, 1)
    """
    unit, solves = per_shape(sections, added_mass_tensor)
    areas = np.array([section.area_m2 for section in sections])
    return unit * areas[:, None, None], solves
