# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Winding number of triangles about points: far ones as dipoles, by a tree."""

import math

import numpy as np

from finial.tunnel.cutting.compiled import inner, outer

LEAF = 8
"""Triangles to a leaf."""
FAR = 2.0
"""Radii of a branch beyond which it counts as one dipole."""


@outer
def branches(corners, depth, middle, dipole, radius):
    """Fill the tree: each branch halves the triangles of the branch above, in the order given.

    Parameters
    ----------
    corners : ndarray, shape (m, 3, 3)
        Corners of the triangles, in an order in which neighbours lie near each other [any length].
    depth : int
        Levels below the first; the branches of level ``d`` have the numbers ``2**d`` to ``2**(d + 1) - 1``.
    middle, dipole : ndarray, shape (2 ** (depth + 1), 3)
        Overwritten: centre of area, and sum of area times normal [length, length^2].
    radius : ndarray, shape (2 ** (depth + 1),)
        Overwritten: of a ball about the centre that holds all [length].

    References
    ----------
    .. [1] G. Barill, N. G. Dickson, R. Schmidt, D. I. W. Levin and A. Jacobson, Fast winding numbers for
       soups and clouds, ACM Trans. Graphics 37, 2018.
    """
    weight = np.zeros(len(radius))
    leaves = 1 << depth
    for leaf in range(leaves):
        start, stop = leaf * len(corners) >> depth, (leaf + 1) * len(corners) >> depth
        _leaf_of(corners[start:stop], leaves + leaf, weight, middle, dipole, radius)
    for branch in range(leaves - 1, 0, -1):
        one, other = 2 * branch, 2 * branch + 1
        weight[branch] = weight[one] + weight[other]
        share = weight[one] / weight[branch] if weight[branch] > 0.0 else 0.5
        for axis in range(3):
            middle[branch, axis] = share * middle[one, axis] + (1.0 - share) * middle[other, axis]
            dipole[branch, axis] = dipole[one, axis] + dipole[other, axis]
        radius[branch] = max(
            radius[one] + _distance(middle[branch], middle[one]),
            radius[other] + _distance(middle[branch], middle[other]),
        )


@inner
def _leaf_of(corners, branch, weight, middle, dipole, radius):
    """Fill a leaf: area, centre of area, dipole and radius of its few triangles."""
    for axis in range(3):
        middle[branch, axis] = dipole[branch, axis] = 0.0
    for number in range(len(corners)):
        a, b, c = corners[number, 0], corners[number, 1], corners[number, 2]
        square = 0.0
        for axis in range(3):
            one, other = (axis + 1) % 3, (axis + 2) % 3
            part = (b[one] - a[one]) * (c[other] - a[other]) - (b[other] - a[other]) * (c[one] - a[one])
            dipole[branch, axis] += 0.5 * part
            square += 0.25 * part * part
        area = math.sqrt(square)
        weight[branch] += area
        for axis in range(3):
            middle[branch, axis] += area * (a[axis] + b[axis] + c[axis]) / 3.0
    for axis in range(3):
        if weight[branch] > 0.0:
            middle[branch, axis] /= weight[branch]
        elif len(corners) > 0:
            middle[branch, axis] = corners[0, 0, axis]
    radius[branch] = 0.0
    for number in range(len(corners)):
        for corner in range(3):
            radius[branch] = max(radius[branch], _distance(middle[branch], corners[number, corner]))


@inner
def _distance(one, other):
    """Distance of two points."""
    x, y, z = one[0] - other[0], one[1] - other[1], one[2] - other[2]
    return math.sqrt(x * x + y * y + z * z)


@outer
def windings(places, corners, depth, tree, answer):
    """Count the times that triangles wind about places: 1 inside a closed shape, 0 outside.

    Parameters
    ----------
    places : ndarray, shape (p, 3)
        Where [the corners' length].
    corners : ndarray, shape (m, 3, 3)
        As for ``branches`` [any length].
    depth : int
        As for it [-].
    tree : (ndarray, ndarray, ndarray)
        ``middle``, ``dipole`` and ``radius`` as it filled them, shapes (b, 3), (b, 3), (b,)
        [length, length^2, length].
    answer : ndarray, shape (p,)
        Overwritten: winding number [-].

    References
    ----------
    .. [1] A. Jacobson, L. Kavan and O. Sorkine-Hornung, Robust inside-outside segmentation using generalized
       winding numbers, ACM Trans. Graphics 32, 2013.
    .. [2] A. Van Oosterom and J. Strackee, IEEE Trans. Biomedical Engineering 30, 1983: solid angle.
    """
    middle, dipole, radius = tree
    waiting = np.empty(2 * depth + 4, np.int64)
    leaves = 1 << depth
    for number in range(len(places)):
        total = 0.0
        waiting[0] = 1
        left = 1
        while left > 0:
            left -= 1
            branch = waiting[left]
            x = middle[branch, 0] - places[number, 0]
            y = middle[branch, 1] - places[number, 1]
            z = middle[branch, 2] - places[number, 2]
            square = x * x + y * y + z * z
            if square > (FAR * radius[branch]) ** 2:
                total += (x * dipole[branch, 0] + y * dipole[branch, 1] + z * dipole[branch, 2]) / (
                    square * math.sqrt(square)
                )
            elif branch < leaves:
                waiting[left] = 2 * branch
                waiting[left + 1] = 2 * branch + 1
                left += 2
            else:
                leaf = branch - leaves
                for owner in range(leaf * len(corners) >> depth, (leaf + 1) * len(corners) >> depth):
                    total += _solid_angle(corners[owner], places[number])
        answer[number] = total / (4.0 * math.pi)


@inner
def _solid_angle(triangle, place):
    """Solid angle of a triangle seen from a place, positive from behind [sr]."""
    ax, ay, az = triangle[0, 0] - place[0], triangle[0, 1] - place[1], triangle[0, 2] - place[2]
    bx, by, bz = triangle[1, 0] - place[0], triangle[1, 1] - place[1], triangle[1, 2] - place[2]
    cx, cy, cz = triangle[2, 0] - place[0], triangle[2, 1] - place[1], triangle[2, 2] - place[2]
    a = math.sqrt(ax * ax + ay * ay + az * az)
    b = math.sqrt(bx * bx + by * by + bz * bz)
    c = math.sqrt(cx * cx + cy * cy + cz * cz)
    volume = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    below = a * b * c + (ax * bx + ay * by + az * bz) * c
    below += (bx * cx + by * cy + bz * cz) * a + (cx * ax + cy * ay + cz * az) * b
    return 2.0 * math.atan2(volume, below)
