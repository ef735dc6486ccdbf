r"""Friction of eddies smaller than a cell by Vreman's model, as statements that every kernel is written from.

.. math::
    \alpha_{ij} = \partial_i u_j, \qquad \beta_{ij} = \sum_m \alpha_{mi} \alpha_{mj}, \qquad
    B = \beta_{11} \beta_{22} - \beta_{12}^2 + \beta_{11} \beta_{33} - \beta_{13}^2
        + \beta_{22} \beta_{33} - \beta_{23}^2, \qquad
    \nu_e = c \sqrt{B / (\alpha_{ij} \alpha_{ij})}

in cells and steps. It is nothing where air only slides past air, as along a wall, where that of Smagorinsky
is largest.

References
----------
.. [1] Vreman, "An eddy-viscosity subgrid-scale model for turbulent shear flow: Algebraic theory and
   applications", Phys. Fluids 16, 2004, equations 5 to 8. From memory.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from finial.tunnel.collision import Statement, literal
from finial.tunnel.lattice import DIRECTIONS
from finial.tunnel.links import GridBox

CONSTANT = 0.025
"""Vreman's c: two and a half times the square of a Smagorinsky constant of 0.1."""
AXES = "xyz"
SIDES = tuple((axis, way) for axis in AXES for way in "pm")
"""Neighbours along an axis, ahead and behind, in the order of a cell's bits."""
WAYS = tuple(
    DIRECTIONS.index(each) for each in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1))
)
"""Directions of the lattice to them."""


def eddy_friction(root: str) -> Iterator[Statement]:
    r"""Find what eddies add to the relaxation time, from velocities round a cell and which sides are shut.

    .. math::
        \partial_i u_j = s_i \left( o_i^+ (u_j^+ - u_j) - o_i^- (u_j^- - u_j) \right), \qquad
        s_i = 1 - \tfrac12 o_i^+ o_i^-, \qquad \tau_e = 3 \nu_e

    with :math:`o` 1 for an open side and 0 for a shut one: central differences, one-sided at walls.

    Parameters
    ----------
    root : str
        Name of the square root in the kernel.

    Yields
    ------
    statement : (str, str)
        In the order in which they need one another; takes ``ux`` to ``uz`` of the cell, ``xpx`` to ``zmz`` of
        its neighbours (axis, way, component) and the bits ``shut``; the last is ``eddy`` [steps].
    """
    one = literal(1.0)
    for bit, (axis, way) in enumerate(SIDES):
        yield f"o{axis}{way}", f"{one} - F((shut >> {bit}) & 1)"
    for axis in AXES:
        yield f"s{axis}", f"{one} - {literal(0.5)} * o{axis}p * o{axis}m"
        for of in AXES:
            ahead, behind = (f"o{axis}{way} * ({axis}{way}{of} - u{of})" for way in "pm")
            yield f"a{axis}{of}", f"s{axis} * ({ahead} - {behind})"
    for i, first in enumerate(AXES):
        for second in AXES[i:]:
            yield f"b{first}{second}", " + ".join(f"a{m}{first} * a{m}{second}" for m in AXES)
    pairs = ("xy", "xz", "yz")
    yield "whole", " + ".join(f"b{a}{a} * b{b}{b} - b{a}{b} * b{a}{b}" for a, b in pairs)
    yield "size", " + ".join(f"b{a}{a}" for a in AXES)
    # Rounding may make nothing a little less.
    yield "eddy", f"{literal(3.0 * CONSTANT)} * {root}(abs(whole) / (size + {literal(1e-30)}))"


def shut_sides(box: GridBox, cells: NDArray[np.int64], directions: NDArray[np.int64]) -> NDArray[np.uint8]:
    """Tell for each cell of a box which of its six neighbours' velocities are not its own air's.

    Parameters
    ----------
    box : GridBox
    cells, directions : ndarray of int, shape (l,)
        Cells that links cut by a wall start from, and the links' directions [-].

    Returns
    -------
    shut : ndarray of uint8, shape (n,)
        A bit for each of ``SIDES``: beyond a wall, or on the rim of the box [-].

    Notes
    -----
    Exact. The rim's velocities are told by no step.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> box = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=1.0, counts=(5, 5, 5))
    >>> shut = shut_sides(box, np.array([62]), np.array([WAYS[0]]))
    >>> int(shut[62]), int(shut[61])
    (1, 2)
    """
    shut = np.zeros(box.counts[::-1], dtype=np.uint8)
    for bit in range(len(SIDES)):
        first: list[int | slice] = [slice(None)] * 3
        first[2 - bit // 2] = 1 if bit % 2 else -2
        shut[tuple(first)] |= np.uint8(1 << bit)
    flat = shut.ravel()
    for bit, way in enumerate(WAYS):
        flat[cells[directions == way]] |= np.uint8(1 << bit)
    return flat
