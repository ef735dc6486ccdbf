"""How the wall moves from section to section: what comes out into the wind and what draws back."""

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from finial.shape.planar import less, sound, united
from finial.shape.skin import Section, Skin

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_HAIR = 1e-5
"""Outlines nearer than this share of their size lie on one another."""
_NOISE = 1e-4
"""Share of a section's area that its outline's own tolerance may move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontsAndBacks:
    """Area that appears and vanishes ahead of each section, the flat tip first, shape (n,)."""

    appearing_m2: NDArray[np.float64]
    vanishing_m2: NDArray[np.float64]
    slopes: NDArray[np.float64]
    """How steeply the wall stands there: its way across over the way along, shape (n,) [-]."""

    @property
    def hidden_m2(self) -> NDArray[np.float64]:
        """Area that appears on one side while as much vanishes on another [m^2], shape (n,)."""
        return np.minimum(self.appearing_m2, self.vanishing_m2)


def growing_walls(skin: Skin) -> FrontsAndBacks:
    r"""Walls as the areas alone tell them: nothing appears where something else vanishes.

    .. math::  S = \frac{|\Delta A|}{\bar P \, \Delta x}

    Parameters
    ----------
    skin : Skin
        Sections with areas :math:`A` [m^2] and perimeters :math:`P` [m].

    Returns
    -------
    walls : FrontsAndBacks
        Areas [m^2] and slopes [-] ahead of each section.

    Notes
    -----
    Exact for cones and regular pyramids. A stack that leans without growing has no walls here: see
    ``standing_walls``.

    References
    ----------
    .. [1] Change of area over perimeter is how far the wall moves out: first-order geometry.

    Examples
    --------
    A square pyramid whose sides stand at 1 in 4.

    >>> from finial.aero.sections.outlines import regular_polygon, tapered_skin
    >>> pyramid = tapered_skin(lambda s: regular_polygon(4, s), [(0.0, 0.0), (1.0, 0.5)])
    >>> growing_walls(pyramid).slopes[2:5].round(6).tolist()
    [0.25, 0.25, 0.25]
    """
    change = np.diff(skin.areas_m2, prepend=0.0)
    return _walls(skin, np.maximum(change, 0.0), np.maximum(-change, 0.0), _around(skin))


def _around(skin: Skin) -> NDArray[np.float64]:
    around = skin.perimeters_m
    return np.concatenate([around[:1], (around[1:] + around[:-1]) / 2])


def standing_walls(skin: Skin) -> FrontsAndBacks:
    """Walls by laying each outline over the one before it.

    Appearing is the area of an outline outside the one before, vanishing that of the one before outside it;
    the slope is both over the length of outline that moved and the way along.

    Parameters
    ----------
    skin : Skin
        Sections with their outlines [m].

    Returns
    -------
    walls : FrontsAndBacks
        Areas [m^2] and slopes [-] ahead of each section.

    Notes
    -----
    Exact for outlines; what appears and vanishes together within 1e-4 of the largest section is the outlines'
    own tolerance and counts as nothing.

    References
    ----------
    .. [1] Difference of plane sets; definition.

    Examples
    --------
    A stack that leans does not grow, but it has a front and a back.

    >>> from finial.aero.sections.outlines import regular_polygon, section_of, skin_of
    >>> square = regular_polygon(4, 1.0, np.pi / 4)
    >>> lean = skin_of([section_of(x, [square + np.array([0.1 * x, 0.0])]) for x in (0.0, 1.0, 2.0)])
    >>> standing_walls(lean).hidden_m2.round(3).tolist()
    [0.0, 0.1, 0.1]
    """
    shapes = [_shape(section) for section in skin.sections]
    pairs = list(pairwise(shapes))
    appearing = [float(less(aft, fore).area) for fore, aft in pairs]
    vanishing = [float(less(fore, aft).area) for fore, aft in pairs]
    moved = [_moved_m(fore, aft) for fore, aft in pairs]
    first = skin.sections[0]
    return _walls(
        skin,
        np.array([first.area_m2, *appearing]),
        np.array([0.0, *vanishing]),
        np.array([first.perimeter_m, *moved]),
    )


def _moved_m(fore: "BaseGeometry", aft: "BaseGeometry") -> float:
    """Mean length of outline that is not where the other one has it: sides in place are no leaning wall."""
    hair = _HAIR * float(np.sqrt(max(fore.area, aft.area)))
    ends = ((aft.boundary, fore.boundary), (fore.boundary, aft.boundary))
    return sum(float(less(one, other.buffer(hair, cap_style="flat")).length) for one, other in ends) / 2


def _shape(section: Section) -> "BaseGeometry":
    import shapely

    return sound(united(shapely.Polygon(loop) for loop in section.loops))


def _walls(
    skin: Skin,
    appearing: NDArray[np.float64],
    vanishing: NDArray[np.float64],
    moved: NDArray[np.float64],
) -> FrontsAndBacks:
    """Fill in slopes; what appears and vanishes together within the outlines' tolerance is nothing."""
    both = np.minimum(appearing, vanishing)
    noise = np.where(both < _NOISE * skin.areas_m2.max(), both, 0.0)
    appearing, vanishing = appearing - noise, vanishing - noise
    around = _around(skin)
    moved = np.where(moved < 1e-3 * around, around, moved)
    along = np.diff(skin.stations_m, prepend=0.0)
    across = (appearing + vanishing) / np.maximum(moved, 1e-12)
    return FrontsAndBacks(
        appearing_m2=appearing, vanishing_m2=vanishing, slopes=across / np.maximum(along, 1e-12)
    )
