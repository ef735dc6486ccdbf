# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Do the triangles close?"""

import numpy as np

from finial.tunnel.cutting.compiled import inner, outer


@outer
def open_sum(triangles):
    """Add up a scattered number for every edge, plus one way and minus the other.

    Parameters
    ----------
    triangles : ndarray of int, shape (m, 3)
        Corners of each triangle [-].

    Returns
    -------
    rest : int
        0 where each edge is walked as often one way as the other, so that the winding number is whole
        everywhere; else another number, but for one case in 2^64.

    References
    ----------
    .. [1] G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014 (from memory): the scattering of bits.
    """
    total = np.uint64(0)
    for number in range(len(triangles)):
        for corner in range(3):
            a, b = triangles[number, corner], triangles[number, (corner + 1) % 3]
            if a < b:
                total += _scattered(a, b)
            elif b < a:
                total -= _scattered(b, a)
    return total


@inner
def _scattered(one, other):
    """Scatter the bits of two numbers over one."""
    mixed = np.uint64(one) * np.uint64(0x9E3779B97F4A7C15) + np.uint64(other) + np.uint64(1)
    for _ in range(2):
        mixed ^= mixed >> np.uint64(30)
        mixed *= np.uint64(0xBF58476D1CE4E5B9)
        mixed ^= mixed >> np.uint64(27)
        mixed *= np.uint64(0x94D049BB133111EB)
        mixed ^= mixed >> np.uint64(31)
    return mixed
