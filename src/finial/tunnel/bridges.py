"""Which cells of two neighbouring grids tell one another what."""

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.tunnel.boxes import NONE_HIDDEN, Hidden
from finial.tunnel.lattice import DIRECTIONS, STEPS
from finial.tunnel.links import GridBox

_EVERY = np.int32((1 << len(DIRECTIONS)) - 1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bridge:
    """Between a grid and the finer one inside it; places are flat indices."""

    told: NDArray[np.int64]
    """Cells of the wider grid that tell their moments, shape (t,)."""
    rim: NDArray[np.int64]
    """Cells round the finer grid, which are told, those with the same needs together, shape (r,)."""
    sources: NDArray[np.int32]
    """Places in ``told`` of the eight that each is mixed from, shape (8 r,): first the first of all."""
    shares: NDArray[np.float32]
    """Of each of the eight, shape (8,)."""
    rim_needs: NDArray[np.int32]
    """Directions that air leaves each rim cell in to a cell that is stepped, a bit each, shape (r,)."""
    band: NDArray[np.int64]
    """Cells of the wider grid that take means, shape (b,)."""
    children: NDArray[np.int64]
    """Cells of the finer grid inside those, rising, shape (b * 8,)."""
    eighths_from: NDArray[np.int32]
    """Places in ``children`` of the eight in each, shape (8 b,)."""
    eighths: NDArray[np.float32]
    """An eighth for each, shape (8,)."""
    band_needs: NDArray[np.int32]
    """The same as for the rim, shape (b,)."""


def bridge(
    wide: GridBox,
    fine: GridBox,
    corner: tuple[int, int, int],
    *,
    layers: int = 1,
    hidden: Hidden = NONE_HIDDEN,
) -> Bridge:
    r"""Lay a bridge between two grids.

    .. math::
        m_{fine} = \sum_{n = 1}^{8} m_n \prod_{axes} \left( \tfrac34 \text{ or } \tfrac14 \right), \qquad
        m_{wide} = \tfrac18 \sum_{n = 1}^{8} m_n

    with :math:`m` the moments: three quarters of the wide cell that the fine one lies in, a quarter of the
    next one on its side; back goes the mean of the eight fine cells in a wide one.

    Parameters
    ----------
    wide, fine : GridBox
        The fine one's cells half as wide, an even number of them along each axis.
    corner : (int, int, int)
        First cell of the wide grid that the fine one lies over; at least 1, so that every rim cell has eight
        wide cells round it.
    layers : int
        Cells of the wider grid, just inside the finer one's rim, that take the finer one's means: as many as
        are asked by what is stepped.
    hidden : tuple of int
        Cells of the wider grid that are not stepped: first along the first axis, past the last, and so on.

    Returns
    -------
    bridge : Bridge
        Mixing is linear along each axis, so that a steady gradient passes unchanged.

    Notes
    -----
    For grids one twice as fine as the other, whose cells' corners fall on one another. Mixing is of the
    second order: what is curved passes with an error of the square of a cell.

    References
    ----------
    .. [1] Chen, Filippova, Hoch, Molvig, Shock, Teixeira and Zhang, "Grid refinement in lattice Boltzmann
       methods based on volumetric formulation", Physica A 362, 2006: cells in cells. From memory.
    .. [2] Dupuis and Chopard, "Theory and applications of an alternative lattice Boltzmann grid refinement
       algorithm", Phys. Rev. E 67, 2003: moments handed over, the stress off equilibrium scaled. From memory.

    Examples
    --------
    >>> wide = GridBox(origin_m=(0.0, 0.0, 0.0), cell_m=2.0, counts=(16, 16, 16))
    >>> fine = GridBox(origin_m=(7.5, 7.5, 7.5), cell_m=1.0, counts=(16, 16, 16))
    >>> across = bridge(wide, fine, (4, 4, 4))
    >>> len(across.rim) == 16**3 - 14**3, len(across.band) == 6**3 - 4**3
    (True, True)
    """
    at = _cells(fine.counts)
    outer = _on_rim(at, fine.counts)
    rim, rim_needs = _alike_together(at[outer], needs_of(at[outer], 1, np.array(fine.counts) - 2))
    eight, shares = _mixed_from(rim, corner)
    told, sources = np.unique(flat(eight, wide.counts), return_inverse=True)
    half = np.array(fine.counts) // 2
    inner = _cells((int(half[0]), int(half[1]), int(half[2])))
    deep = np.minimum(inner, half - 1 - inner).min(axis=1)
    band = inner[(deep >= 1) & (deep <= layers)]
    told_to = band + np.array(corner)
    out_of = np.array(hidden[::2]), np.array(hidden[1::2]) - 1
    unseen = ((told_to >= out_of[0]) & (told_to <= out_of[1])).all(axis=1)
    needs = np.where(unseen, ~needs_of(told_to, *out_of) & _EVERY, _EVERY)
    band, band_needs = _alike_together(band, needs)
    offsets = np.array(list(product((0, 1), repeat=3)))
    children, inside = np.unique(flat(2 * band[:, None, :] + offsets, fine.counts), return_inverse=True)
    return Bridge(
        told=told,
        rim=flat(rim, fine.counts),
        sources=_first_of_all(sources, len(rim)),
        shares=shares.astype(np.float32),
        rim_needs=rim_needs,
        band=flat(band + np.array(corner), wide.counts),
        children=children,
        eighths_from=_first_of_all(inside, len(band)),
        eighths=np.full(8, 0.125, dtype=np.float32),
        band_needs=band_needs,
    )


def needs_of(at: NDArray[np.int64], first: ArrayLike, last: ArrayLike) -> NDArray[np.int32]:
    """Tell in which directions air leaves cells to others that lie in a block.

    Parameters
    ----------
    at : ndarray of int, shape (n, 3)
        Cells (i, j, k) [-].
    first, last : array_like of int, shape (3,)
        Corners of the block (i, j, k), both in it [-].

    Returns
    -------
    needs : ndarray of int, shape (n,)
        A bit for each direction [-].

    Notes
    -----
    Exact. A step pulls from a cell beside it what leaves that one towards it, and nothing else.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> needs_of(np.array([[0, 0, 0]]), 1, (2, 2, 2)).item() == 1 << DIRECTIONS.index((1, 1, 1))
    True
    """
    needs = np.zeros(len(at), dtype=np.int32)
    for bit, step in enumerate(STEPS):
        beside = at + step
        needs |= ((beside >= first) & (beside <= last)).all(axis=1).astype(np.int32) << np.int32(bit)
    return needs


def _alike_together(
    at: NDArray[np.int64], needs: NDArray[np.int32]
) -> tuple[NDArray[np.int64], NDArray[np.int32]]:
    order = np.argsort(needs, kind="stable")
    return at[order], needs[order]


def rim_cells(counts: tuple[int, int, int]) -> NDArray[np.int64]:
    """Give the places of the outermost cells of a box.

    Parameters
    ----------
    counts : (int, int, int)
        Its cells along each axis.

    Returns
    -------
    at : ndarray of int, shape (r, 3)
        Their (i, j, k), in flat order.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> len(rim_cells((4, 4, 4))) == 4**3 - 2**3
    True
    """
    at = _cells(counts)
    return at[_on_rim(at, counts)]


def flat(at: NDArray[np.int64], counts: tuple[int, int, int]) -> NDArray[np.int64]:
    r"""Give the flat index of cells.

    .. math::  (k \, n_j + j) \, n_i + i

    Parameters
    ----------
    at : ndarray of int, shape (..., 3)
        Their (i, j, k) [-].
    counts : (int, int, int)
        Cells of the box along each axis.

    Returns
    -------
    index : ndarray of int, shape (...)
        As ``GridBox`` says.

    Notes
    -----
    Exact.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> flat(np.array([[1, 2, 3]]), (4, 5, 6)).tolist()
    [69]
    """
    return (at[..., 2] * counts[1] + at[..., 1]) * counts[0] + at[..., 0]


def _mixed_from(
    rim: NDArray[np.int64], corner: tuple[int, int, int]
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Eight cells of the wider grid round each fine one, and their shares: a quarter, or three, an axis."""
    own = rim // 2 + np.array(corner)
    beside = np.where(rim % 2 == 1, 1, -1)
    offsets = np.array(list(product((0, 1), repeat=3)))
    eight = own[:, None, :] + offsets * beside[:, None, :]
    return eight, np.where(offsets == 1, 0.25, 0.75).prod(axis=1)


def _first_of_all(eight: NDArray[np.int64], count: int) -> NDArray[np.int32]:
    """Lay the first places of all cells side by side, then the second: cards read neighbours at once."""
    return eight.reshape(count, 8).T.ravel().astype(np.int32)


def _cells(counts: tuple[int, int, int]) -> NDArray[np.int64]:
    k, j, i = np.indices(counts[::-1])
    return np.stack([i.ravel(), j.ravel(), k.ravel()], axis=1).astype(np.int64)


def _on_rim(at: NDArray[np.int64], counts: tuple[int, int, int]) -> NDArray[np.bool_]:
    return ((at == 0) | (at == np.array(counts) - 1)).any(axis=1)
