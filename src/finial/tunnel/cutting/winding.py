"""Winding number of a shape about places: inside or outside, on meshes as they come."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.cores import usable_cores
from finial.tunnel.cutting import seams, tree

_BITS = 10
_MOST_THREADS = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tree:
    """Triangles in halves of halves, each with the dipole that stands for it from afar."""

    corners: NDArray[np.float64]
    """Triangles in the tree's order, shape (m, 3, 3) [any length]."""
    depth: int
    middle: NDArray[np.float64]
    dipole: NDArray[np.float64]
    radius: NDArray[np.float64]


def tree_of(corners: NDArray[np.float64]) -> Tree:
    """Sort triangles into a tree of dipoles.

    Parameters
    ----------
    corners : ndarray, shape (m, 3, 3)
        Corners of the triangles [any length].

    Returns
    -------
    tree : Tree
        For ``winding_number``.

    Notes
    -----
    Halves are cut along a curve that fills space (Morton's), eight triangles to a leaf.

    References
    ----------
    .. [1] G. Barill et al., Fast winding numbers for soups and clouds, ACM Trans. Graphics 37, 2018.

    Examples
    --------
    >>> tree_of(np.array([[[0.0, 0, 0], [2, 0, 0], [0, 2, 0]]])).dipole[1].tolist()
    [0.0, 0.0, 2.0]
    """
    ordered = np.ascontiguousarray(corners[np.argsort(_along_the_curve(corners.mean(axis=1)))])
    depth = max(0, int(np.ceil(np.log2(max(len(corners), 1) / tree.LEAF))))
    many = 2 << depth
    made = Tree(
        corners=ordered,
        depth=depth,
        middle=np.zeros((many, 3)),
        dipole=np.zeros((many, 3)),
        radius=np.zeros(many),
    )
    tree.branches(made.corners, depth, made.middle, made.dipole, made.radius)
    return made


def _along_the_curve(places: NDArray[np.float64]) -> NDArray[np.int64]:
    low = places.min(axis=0)
    cells = ((places - low) / max(float(np.ptp(places, axis=0).max()), 1e-300) * (2**_BITS - 1)).astype(
        np.int64
    )
    place = np.zeros(len(places), dtype=np.int64)
    for bit in range(_BITS):
        for axis in range(3):
            place |= (cells[:, axis] >> bit & 1) << (3 * bit + axis)
    return place


def winding_number(made: Tree, places: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Count the times that a surface winds about places.

    .. math::  w(q) = \frac{1}{4\pi} \sum_t \Omega_t(q)

    with the solid angle :math:`\Omega` of each triangle; a branch more than three of its radii away counts as
    one dipole, :math:`A\,n \cdot r / |r|^3`.

    Parameters
    ----------
    made : Tree
        The triangles.
    places : ndarray, shape (p, 3)
        Where [the triangles' length].

    Returns
    -------
    winding : ndarray, shape (p,)
        1 inside a closed shape whose triangles look outward, 0 outside, 1/2 on it [-].

    Notes
    -----
    Within 0.01 or so of the full sum. Near a single sheet it stays below 1/2 on both sides.

    References
    ----------
    .. [1] A. Jacobson, L. Kavan and O. Sorkine-Hornung, Robust inside-outside segmentation using generalized
       winding numbers, ACM Trans. Graphics 32, 2013.
    .. [2] G. Barill et al., Fast winding numbers for soups and clouds, ACM Trans. Graphics 37, 2018.

    Examples
    --------
    >>> corner = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> made = tree_of(corner[np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])])
    >>> winding_number(made, np.array([[0.1, 0.1, 0.1], [1.0, 1.0, 1.0]])).round(3).tolist()
    [1.0, 0.0]
    """
    answer = np.empty(len(places))

    def work(start: int, stop: int) -> None:
        branches = made.middle, made.dipole, made.radius
        tree.windings(places[start:stop], made.corners, made.depth, branches, answer[start:stop])

    in_threads(len(places), work)
    return answer


def in_threads(count: int, work: Callable[[int, int], object]) -> None:
    """Do work on pieces of a range, one piece to a thread; what it raises comes out here.

    Parameters
    ----------
    count : int
        Length of the range.
    work : callable
        Takes where its piece starts and stops; frees the interpreter while it runs.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> done: list[int] = []
    >>> in_threads(5, lambda start, stop: done.append(stop - start))
    >>> sum(done)
    5
    """
    threads = max(1, min(_MOST_THREADS, usable_cores(), count))
    cuts = np.linspace(0, count, threads + 1).astype(int).tolist()
    with ThreadPoolExecutor(threads) as pool:
        for each in [pool.submit(work, cuts[n], cuts[n + 1]) for n in range(threads)]:
            each.result()


def closes(triangles: NDArray[np.int64]) -> bool:
    """Say whether each edge is walked as often one way as the other.

    Parameters
    ----------
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle.

    Returns
    -------
    closed : bool
        Then the winding number is whole everywhere off the surface.

    Notes
    -----
    Wrong once in 2^64 open meshes.

    References
    ----------
    .. [1] Definition: the chain of triangles has no boundary.

    Examples
    --------
    >>> closes(np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]))
    True
    >>> closes(np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 3, 2]]))
    False
    """
    return int(seams.open_sum(triangles)) == 0
