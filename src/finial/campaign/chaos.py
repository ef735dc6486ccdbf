"""Polynomial chaos: a result as a sum of few polynomials in the uncertain numbers, each with variance one."""

import math
from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Term = tuple[tuple[int, int], ...]
"""Which numbers a polynomial is of, each with its degree: one number or two."""
DEGREES = (1, 2, 3, 4, 6, 8, 10, 12)
MOST_CANDIDATES = 1500
_HYPERBOLIC = 0.75
"""How much higher a degree is worth than a product: Blatman and Sudret."""
_FEWEST_APART = 10
"""Flights at least off a number's most frequent value, or nothing can be said of it."""
_ALIKE = 1e-9


def orthonormal(numbers: NDArray[np.float64], most: int) -> NDArray[np.float64]:
    r"""Polynomials of one number, each of variance one and unlike all before it, as it was drawn.

    .. math::  \pi_{k+1} = (x - a_k) \, \pi_k - b_k \, \pi_{k-1}, \qquad
               \overline{\pi_k \pi_l} = \delta_{kl}

    Parameters
    ----------
    numbers : ndarray, shape (n,)
        What was drawn, :math:`x` [any].
    most : int
        Highest degree.

    Returns
    -------
    polynomials : ndarray, shape (n, k)
        Of degree one and up [-]; none for a number that hardly varies, one for one of two values.

    Notes
    -----
    Holds for numbers of any shape: even, normal or two values, as the means are those of the sample.

    References
    ----------
    .. [1] Oladyshkin and Nowak, Data-driven uncertainty quantification using the arbitrary polynomial
       chaos expansion, Reliability Engineering and System Safety 106 (2012) 179; recurrence of Stieltjes.
       From memory, not re-read.

    Examples
    --------
    >>> x = np.linspace(-1.0, 1.0, 10_001)
    >>> bool(np.allclose(orthonormal(x, 2)[-1], [3.0**0.5, 5.0**0.5], atol=1e-3))  # Legendre's
    True
    """
    if numbers.size - np.unique(numbers, return_counts=True)[1].max() < _FEWEST_APART:
        return np.empty((numbers.size, 0))
    x = (numbers - numbers.mean()) / numbers.std()
    found = [np.ones_like(x)]
    before = np.zeros_like(x)
    for _ in range(most):
        last = found[-1]
        rise = x * last
        new = rise - (rise @ last / x.size) * last - (rise @ before / x.size) * before
        size = math.sqrt(new @ new / x.size)
        if size < _ALIKE**0.5:
            break
        before = last
        found.append(new / size)
    return np.column_stack(found[1:]) if len(found) > 1 else np.empty((x.size, 0))


def candidates(widths: Sequence[int], strongest: Sequence[int], degree: int) -> list[Term]:
    """Polynomials of one number and products of two, up to a degree that counts products dearer.

    Parameters
    ----------
    widths : sequence of int
        Highest degree that each number has.
    strongest : sequence of int
        Numbers, those with most say first: where pairs are too many, each holds one of the first.
    degree : int
        Highest degree of a polynomial of one number.

    Returns
    -------
    terms : list of Term
        At most 1500, unless single numbers alone are more.
    """
    single: list[Term] = [((one, k),) for one, width in enumerate(widths) for k in range(1, width + 1)]
    terms = [term for term in single if term[0][1] <= degree]
    place = {number: at for at, number in enumerate(strongest)}
    pairs = sorted(combinations(range(len(widths)), 2), key=lambda pair: min(place[one] for one in pair))
    for one, other in pairs:
        more = _products(one, other, (widths[one], widths[other]), degree)
        if len(terms) + len(more) > MOST_CANDIDATES:
            break
        terms += more
    return terms


def _products(one: int, other: int, widths: tuple[int, int], degree: int) -> list[Term]:
    return [
        ((one, a), (other, b))
        for a in range(1, min(widths[0], degree) + 1)
        for b in range(1, min(widths[1], degree) + 1)
        if a**_HYPERBOLIC + b**_HYPERBOLIC <= degree**_HYPERBOLIC + _ALIKE
    ]


def table(polynomials: Sequence[NDArray[np.float64]], terms: Sequence[Term]) -> NDArray[np.float64]:
    """Values of terms, flight by flight, shape (n, k)."""
    count = len(polynomials[0]) if polynomials else 0
    columns = np.empty((count, len(terms)), order="F")
    for at, term in enumerate(terms):
        columns[:, at] = math.prod(polynomials[one][:, degree - 1] for one, degree in term)
    return columns


def chosen(values: NDArray[np.float64], columns: NDArray[np.float64], most: int) -> tuple[list[int], float]:
    r"""Columns that tell a result, the one with most say next, until chance would tell as much.

    .. math::  n \, (R_k - R_{k+1}) / R_{k+1} > 2 \ln p

    Parameters
    ----------
    values : ndarray, shape (n,)
        Results, of mean zero [any].
    columns : ndarray, shape (n, p)
        What may tell them [-].
    most : int
        Columns at most.

    Returns
    -------
    which : list of int
        Numbers of the columns.
    criterion : float
        :math:`n \ln R + 2 k \ln p`, the lower the better, to compare sets of columns [-].

    Notes
    -----
    The threshold is what the best of :math:`p` columns without any say explains by chance.

    References
    ----------
    .. [1] Chen, Billings and Luo, Orthogonal least squares methods, Int. J. Control 50 (1989) 1873; Foster
       and George, The risk inflation criterion for multiple regression, Annals of Statistics 22 (1994)
       1947. From memory, not re-read.

    Examples
    --------
    >>> x = np.random.default_rng(1).normal(size=(200, 5))
    >>> chosen(x[:, 3] - 0.5 * x[:, 1], x, 5)[0]
    [3, 1]
    """
    count, price = values.size, 2.0 * math.log(max(columns.shape[1], 2))
    left, which = values - values.mean(), list[int]()
    # Parts of each column that no chosen one holds: their squares shrink as columns are chosen.
    centred = columns - columns.mean(axis=0)
    alone = np.einsum("np,np->p", centred, centred)
    whole, basis = alone.copy(), np.empty((0, count))
    floor = _ALIKE * float(left @ left)
    while len(which) < min(most, columns.shape[1]) and left @ left > floor:
        likeness = _against(left, centred) ** 2
        told = np.where(alone > 1e-6 * whole + _ALIKE, likeness / np.maximum(alone, _ALIKE), 0.0)
        best = int(np.argmax(told))
        if count * told[best] <= price * (left @ left - told[best]):
            break
        new = centred[:, best] - basis.T @ (basis @ centred[:, best])
        new /= np.linalg.norm(new)
        basis = np.vstack([basis, new])
        left = left - (new @ left) * new
        alone = alone - _against(new, centred) ** 2
        which.append(best)
    return which, count * math.log(max(float(left @ left), floor, 1e-300)) + price * len(which)


def _against(one: NDArray[np.float64], columns: NDArray[np.float64]) -> NDArray[np.float64]:
    """Multiply one column with many on this thread: on a busy machine several would wait for each other."""
    return np.einsum("n,np->p", one, columns)
