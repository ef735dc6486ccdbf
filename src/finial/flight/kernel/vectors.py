# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Vectors of three and symmetric tensors of six numbers, as tuples: they live in registers, not in memory."""

from finial.flight.kernel.compiled import inner


@inner
def three(array, at):
    """Take a vector out of a flat array.

    Parameters
    ----------
    array : ndarray
        Flat [any].
    at : int
        Where it begins.

    Returns
    -------
    vector : tuple of float
        In its own unit [any].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    return array[at], array[at + 1], array[at + 2]


@inner
def dot(a, b):
    """Scalar product.

    Parameters
    ----------
    a, b : tuple of float
        Vectors [any].

    Returns
    -------
    product : float
        In the one's unit times the other's [any].

    References
    ----------
    .. [1] Definition.
    """
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@inner
def cross(a, b):
    """Vector product.

    Parameters
    ----------
    a, b : tuple of float
        Vectors [any].

    Returns
    -------
    product : tuple of float
        In the one's unit times the other's [any].

    References
    ----------
    .. [1] Definition.
    """
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


@inner
def plus_dot(start, a, b):
    """Add a scalar product to a number, part by part from the left.

    Parameters
    ----------
    start : float
        In the product's unit [any].
    a, b : tuple of float
        Vectors [any].

    Returns
    -------
    sum : float
        In the product's unit [any].

    References
    ----------
    .. [1] Definition.
    """
    return start + a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@inner
def plus_cross(start, a, b):
    """Add a vector product to a vector, part by part from the left.

    Parameters
    ----------
    start : tuple of float
        In the product's unit [any].
    a, b : tuple of float
        Vectors [any].

    Returns
    -------
    sum : tuple of float
        In the product's unit [any].

    References
    ----------
    .. [1] Definition.
    """
    return (
        start[0] + a[1] * b[2] - a[2] * b[1],
        start[1] + a[2] * b[0] - a[0] * b[2],
        start[2] + a[0] * b[1] - a[1] * b[0],
    )


@inner
def turned(turn, vector):
    """Turn a vector by a rotation: from body to earth axes, with the attitude's.

    Parameters
    ----------
    turn : tuple of tuple of float
        Rows of the rotation matrix [-].
    vector : tuple of float
        The vector [any].

    Returns
    -------
    turned : tuple of float
        In its own unit [any].

    References
    ----------
    .. [1] Definition.
    """
    return dot(turn[0], vector), dot(turn[1], vector), dot(turn[2], vector)


@inner
def turned_back(turn, vector):
    """Turn a vector by a rotation's inverse: from earth to body axes, with the attitude's.

    Parameters
    ----------
    turn : tuple of tuple of float
        Rows of the rotation matrix [-].
    vector : tuple of float
        The vector [any].

    Returns
    -------
    turned : tuple of float
        In its own unit [any].

    References
    ----------
    .. [1] The inverse of a rotation is its transpose: definition.
    """
    a, b, c = turn
    return (
        a[0] * vector[0] + b[0] * vector[1] + c[0] * vector[2],
        a[1] * vector[0] + b[1] * vector[1] + c[1] * vector[2],
        a[2] * vector[0] + b[2] * vector[1] + c[2] * vector[2],
    )


@inner
def six(array, at):
    """Take a symmetric tensor (xx yy zz xy xz yz) out of a flat array.

    Parameters
    ----------
    array : ndarray
        Flat [any].
    at : int
        Where it begins.

    Returns
    -------
    tensor : tuple of float
        In its own unit [any].

    References
    ----------
    .. [1] Bookkeeping; no formula.
    """
    return array[at], array[at + 1], array[at + 2], array[at + 3], array[at + 4], array[at + 5]


@inner
def times_tensor(tensor, vector):
    """Product of a symmetric tensor (xx yy zz xy xz yz) with a vector.

    Parameters
    ----------
    tensor, vector : tuple of float
        Six and three numbers [any].

    Returns
    -------
    product : tuple of float
        Its three parts, in the tensor's unit times the vector's [any].

    References
    ----------
    .. [1] Definition.
    """
    xx, yy, zz, xy, xz, yz = tensor
    return dot((xx, xy, xz), vector), dot((xy, yy, yz), vector), dot((xz, yz, zz), vector)


@inner
def over_tensor(tensor, vector):
    """Solve tensor times answer = vector for a symmetric tensor (xx yy zz xy xz yz), by the adjugate.

    Parameters
    ----------
    tensor, vector : tuple of float
        Six and three numbers [any].

    Returns
    -------
    answer : tuple of float
        In the vector's unit over the tensor's [any].

    References
    ----------
    .. [1] Cramer's rule for a symmetric 3 by 3 matrix: any text on linear algebra.
    """
    xx, yy, zz, xy, xz, yz = tensor
    a, b, c = yy * zz - yz * yz, xz * yz - xy * zz, xy * yz - xz * yy
    d, e, f = xx * zz - xz * xz, xy * xz - xx * yz, xx * yy - xy * xy
    determinant = dot((xx, xy, xz), (a, b, c))
    return (
        dot((a, b, c), vector) / determinant,
        dot((b, d, e), vector) / determinant,
        dot((c, e, f), vector) / determinant,
    )
