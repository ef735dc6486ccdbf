"""Which uncertain number decides: Shapley shares of a result's variance, their intervals, what is missed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.campaign.chaos import DEGREES, Term, candidates, chosen, orthonormal, table
from finial.core.errors import OutsideRange
from finial.core.statistics import NINETY_FIVE
from finial.flight.uncertain import Uncertain

MOST_FLIGHTS = 10_000
"""More flights than this make no interval worth the time narrower."""
_FEWEST = 30
_SEED = 1_948
_FLIGHTS_A_TERM = 4
_MOST_TERMS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """Share of a result's variance that is due to one uncertain number."""

    draw: Uncertain
    share: float
    """What it does alone, and half of what it does only together with another [-]."""
    low: float
    """Ends of the 95 % interval [-]; one that reaches nothing is no cause."""
    high: float
    alone: float
    """What it does alone [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """What decides one result."""

    causes: tuple[Sensitivity, ...]
    """Most first; only those whose interval lies above nothing."""
    missed: float
    """Share of the variance that the fit misses, of flights that it was not made from [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Half:
    """What one half of the flights says of the terms that the other half chose."""

    shares: NDArray[np.float64]
    alone: NDArray[np.float64]
    errors: NDArray[np.float64]
    """Standard errors of the shares."""
    missed: float


def decided(values: NDArray[np.float64], drawn: NDArray[np.float64], draws: Sequence[Uncertain]) -> Decided:
    r"""Shapley share of each number, from a sparse polynomial chaos whose terms other flights chose.

    .. math::  y \approx c_0 + \sum_t c_t \, \psi_t(x), \qquad
               \phi_j = \frac{1}{\operatorname{Var}(y)} \sum_{t \ni j} \frac{c_t^2 - s_t^2}{|t|}

    Parameters
    ----------
    values : ndarray, shape (n,)
        Result of each flight, :math:`y`; flights where it is not finite are left out [any].
    drawn : ndarray, shape (n, d)
        Drawn numbers, :math:`x` [any].
    draws : sequence of Uncertain
        Which numbers they are.

    Returns
    -------
    decided : Decided
        Shares [-] with 95 % intervals, and the share that the fit misses.

    Raises
    ------
    OutsideRange
        If fewer than 30 flights have the result.

    Notes
    -----
    Holds for numbers drawn independently of one another, as they are here. One half of the flights chooses
    the terms, the other finds their coefficients :math:`c_t` and standard errors :math:`s_t` (which hold
    for errors that differ from flight to flight), and the other way round; both are averaged, so that no
    term is judged by the flights it was picked for. With an exact fit :math:`\phi_j` is the Shapley effect:
    the first-order Sobol index, and of each pair's index one half. Gusts, what three numbers do only
    together, and what finer polynomials would tell are in what is missed. A number that fewer than ten
    flights set apart is no cause.

    References
    ----------
    .. [1] Sudret, Global sensitivity analysis using polynomial chaos expansions, Reliability Engineering and
       System Safety 93 (2008) 964; Blatman and Sudret, Adaptive sparse polynomial chaos expansion, J.
       Computational Physics 230 (2011) 2345. From memory, not re-read.
    .. [2] Owen, Sobol' indices and Shapley value, SIAM/ASA J. Uncertainty Quantification 2 (2014) 245; from
       memory, not re-read.
    .. [3] MacKinnon and White, Some heteroskedasticity-consistent covariance matrix estimators, J.
       Econometrics 29 (1985) 305, the second; from memory, not re-read.

    Examples
    --------
    >>> x = np.random.default_rng(1).uniform(-1, 1, (4000, 3))
    >>> from finial.flight.uncertain import Drawn
    >>> draws = [Uncertain(kind=kind) for kind in (Drawn.AXIAL_FORCE, Drawn.IMPULSE, Drawn.WIND)]
    >>> found = decided(3 * x[:, 0] + x[:, 1], x, draws)
    >>> [(one.draw.name, round(one.share, 2)) for one in found.causes], round(found.missed, 2)
    ([('drag', 0.9), ('impulse', 0.1)], 0.0)
    """
    finite = np.flatnonzero(np.isfinite(values))[:MOST_FLIGHTS]
    if finite.size < _FEWEST:
        raise OutsideRange(f"{finite.size} flights have this result: accepted are {_FEWEST} or more")
    y = values[finite]
    if np.ptp(y) == 0.0 or not draws:
        return Decided(causes=(), missed=0.0)
    y = (y - y.mean()) / y.std()
    polynomials = [orthonormal(column, DEGREES[-1]) for column in drawn[finite].T]
    order = np.random.default_rng(_SEED).permutation(finite.size)
    one, other = np.sort(order[::2]), np.sort(order[1::2])
    halves = _half(y, polynomials, one, other), _half(y, polynomials, other, one)
    return Decided(causes=_causes(halves, draws), missed=float(np.mean([half.missed for half in halves])))


def _causes(halves: tuple[_Half, _Half], draws: Sequence[Uncertain]) -> tuple[Sensitivity, ...]:
    """Average both halves; they tell of the interval too, by how far they lie apart."""
    one, other = halves
    shares, alone = (one.shares + other.shares) / 2.0, (one.alone + other.alone) / 2.0
    within = np.hypot(one.errors, other.errors) / 2.0
    reach = NINETY_FIVE * np.maximum(within, np.abs(one.shares - other.shares) / 2.0)
    found = (
        Sensitivity(draw=draw, share=share, low=share - far, high=min(share + far, 1.0), alone=by_itself)
        for draw, share, far, by_itself in zip(
            draws, shares.tolist(), reach.tolist(), alone.tolist(), strict=True
        )
    )
    return tuple(sorted((each for each in found if each.low > 0.0), key=lambda each: -each.share))


def _half(
    y: NDArray[np.float64],
    polynomials: list[NDArray[np.float64]],
    choosing: NDArray[np.intp],
    telling: NDArray[np.intp],
) -> _Half:
    """Choose terms with some flights, and let others tell of them."""
    terms = _terms(y[choosing], [one[choosing] for one in polynomials])
    here, there = (table([one[which] for one in polynomials], terms) for which in (telling, choosing))
    # One that does not vary among these flights tells them nothing.
    steady = np.ptp(here, axis=0) > 0.0
    terms = [term for term, moves in zip(terms, steady, strict=True) if moves]
    here, there = here[:, steady], there[:, steady]
    guess = _with_one(here) @ np.linalg.lstsq(_with_one(there), y[choosing], rcond=None)[0]
    missed = float(np.mean((y[telling] - guess) ** 2) / y[telling].var())
    return told_of_half(y[telling], here, _members(terms, len(polynomials)), missed)


def _terms(y: NDArray[np.float64], polynomials: list[NDArray[np.float64]]) -> list[Term]:
    """Choose among polynomials of rising degree, until twice in a row more of them tell no more."""
    most = min(_MOST_TERMS, y.size // _FLIGHTS_A_TERM)
    widths = [one.shape[1] for one in polynomials]
    strongest = sorted(range(len(widths)), key=lambda at: -_say(y, polynomials[at]))
    best, least, worse, tried = list[Term](), math.inf, 0, 0
    for degree in DEGREES:
        offered = candidates(widths, strongest, degree)
        if len(offered) == tried or worse == 2:
            break
        tried = len(offered)
        which, criterion = chosen(y, table(polynomials, offered), most)
        worse = 0 if criterion < least else worse + 1
        if criterion < least:
            best, least = [offered[at] for at in which], criterion
    return best


def _say(y: NDArray[np.float64], polynomials: NDArray[np.float64]) -> float:
    """Roughly how much a number tells by itself."""
    return float(np.sum((y @ polynomials[:, :3] / y.size) ** 2))


def _members(terms: list[Term], count: int) -> NDArray[np.bool_]:
    """Which number is in which term, shape (d, k)."""
    members = np.zeros((count, len(terms)), dtype=bool)
    for at, term in enumerate(terms):
        members[[one for one, _ in term], at] = True
    return members


def _with_one(columns: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.column_stack([np.ones(len(columns)), columns])


def told_of_half(
    y: NDArray[np.float64], columns: NDArray[np.float64], members: NDArray[np.bool_], missed: float
) -> _Half:
    """Find coefficients, and shares with what their errors and that of the rest make of them."""
    full = _with_one(columns)
    q, r = np.linalg.qr(full)
    solved = np.linalg.solve(r, q.T)
    coefficients = solved @ y
    left = y - full @ coefficients
    spread = left**2 / np.maximum(1.0 - np.sum(q**2, axis=1), 1e-6)
    squares = (solved**2 @ spread)[1:]
    parts = coefficients[1:] ** 2 - squares
    of_parts = 4.0 * coefficients[1:] ** 2 * squares + 2.0 * squares**2
    rest = float(left @ left / max(y.size - full.shape[1], 1))
    whole = float(parts.sum()) + rest
    each = members / np.maximum(members.sum(axis=0), 1)
    shares = each @ parts / whole
    bent = ((each - shares[:, None]) / whole) ** 2 @ of_parts
    errors = np.sqrt(bent + _of_the_sample(columns * coefficients[1:], members, left, shares) / y.size)
    alone = (members & (members.sum(axis=0) == 1)) @ parts / whole
    return _Half(shares=shares, alone=alone, errors=errors, missed=missed)


def _of_the_sample(
    told: NDArray[np.float64],
    members: NDArray[np.bool_],
    left: NDArray[np.float64],
    shares: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Variance of each share that comes of which numbers happened to be drawn, for one flight."""
    if not members.any():
        return np.zeros(len(shares))
    groups, which = np.unique(members.T, axis=0, return_inverse=True)
    parts = np.column_stack([told[:, which == at].sum(axis=1) for at in range(len(groups))])
    single = groups & (groups.sum(axis=1, keepdims=True) == 1)
    # What one number does alone is a mean over all others, and moves with those that were drawn.
    moved = 2.0 * (parts @ single) * (parts @ (groups & ~single))
    apart = (parts**2).sum(axis=1) + left**2
    each = parts**2 @ (groups / np.maximum(groups.sum(axis=1, keepdims=True), 1)) + moved
    whole = apart + moved.sum(axis=1)
    return np.var((each - shares * whole[:, None]) / apart.mean(), axis=0)
