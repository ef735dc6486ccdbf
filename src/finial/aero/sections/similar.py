"""One solve for all sections that are copies of one another in another size or place."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from finial.aero.sections.added_mass import added_mass_tensor
from finial.core.errors import MeshError
from finial.shape.skin import Loop, Section

_SAME = 5e-4
_GAUSS = np.polynomial.legendre.leggauss(3)
_POWERS = [(i, order - i) for order in (2, 3, 4) for i in range(order + 1)]


def fingerprint(section: Section) -> NDArray[np.float64]:
    """Numbers that two outlines share when one is a scaled, shifted copy of the other.

    Perimeter and the second to fourth area moments about the centroid, in units of the
    square root of the area; shape (14,). A turned copy has other numbers.
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
    """Evaluate ``solve`` once per distinct shape, on outlines of unit area about the origin.

    Returns the answers, one a section, stacked along the first axis, and how many
    shapes were solved. Sections of no area repeat the answer of a neighbour.
    """
    largest = max(section.area_m2 for section in sections)
    known: list[tuple[NDArray[np.float64], NDArray[np.float64]]] = []
    answers: list[NDArray[np.float64] | None] = []
    for section in sections:
        if section.area_m2 <= 1e-7 * largest or not section.loops:
            answers.append(None)
            continue
        mark = fingerprint(section)
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


def section_tensors(sections: Sequence[Section]) -> tuple[NDArray[np.float64], int]:
    """Added-mass tensors of all sections [m^2], shape (n, 2, 2), and the number of solves."""
    unit, solves = per_shape(sections, added_mass_tensor)
    areas = np.array([section.area_m2 for section in sections])
    return unit * areas[:, None, None], solves
