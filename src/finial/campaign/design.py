"""Design points: for each flight a share between 0 and 1 of every uncertain number, by flight index."""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.flight.kernel.spread_layout import DESIGN_STREAM

PLAIN, LATIN, SOBOL = "plain", "latin", "sobol"
DESIGNS: Final = (PLAIN, LATIN, SOBOL)
_STRATA_STREAM: Final = DESIGN_STREAM + 1
_SOBOL_STREAM: Final = DESIGN_STREAM + 2
_SMALLEST: Final = 2.0**-53
_SOBOL_BITS: Final = 30


def design_points(
    design: str, seed: int, flights: int, draws: int, span: tuple[int, int]
) -> NDArray[np.float64] | None:
    r"""Shares of flights ``span[0]`` to ``span[1] - 1``; ``None`` for plain flights, which draw their own.

    Parameters
    ----------
    design : str
        ``plain``, ``latin`` (one flight in each of N strata of every number) or ``sobol``
        (scrambled low-discrepancy sequence).
    seed : int
        Of the campaign.
    flights : int
        Flights of the whole campaign, N: it sets the strata of a Latin hypercube.
    draws : int
        Uncertain numbers of one flight.
    span : tuple of int
        First flight, and the one after the last.

    Returns
    -------
    shares : ndarray, shape (n, draws), or None
        Strictly between 0 and 1.

    Raises
    ------
    OutsideRange
        If there is no such design or the span leaves the campaign.

    Notes
    -----
    A point depends on seed, flight, and for a Latin hypercube on the number of flights, not on
    how the campaign is cut. Confidence bounds of odds hold for plain flights only.

    References
    ----------
    .. [1] McKay, Beckman and Conover, Technometrics 21 (1979) 239 (Latin hypercube).
    .. [2] Owen, Randomly permuted (t,m,s)-nets and (t,s)-sequences, 1995 (scrambling).

    Examples
    --------
    >>> shares = design_points("latin", 7, 4, 1, (0, 4))
    >>> sorted((4 * shares[:, 0]).astype(int).tolist())
    [0, 1, 2, 3]
    """
    first, end = span
    if not 0 <= first < end <= flights:
        raise OutsideRange(f"flights {first} to {end - 1} of {flights}")
    if design == PLAIN:
        return None
    if design == LATIN:
        return _latin(seed, flights, draws, first, end)
    if design == SOBOL:
        return _sobol(seed, draws, first, end)
    raise OutsideRange(f"design {design!r}: accepted are {', '.join(DESIGNS)}")


def _latin(seed: int, flights: int, draws: int, first: int, end: int) -> NDArray[np.float64]:
    columns = [
        (_strata(seed, flights, draw)[first:end] + _units(seed, DESIGN_STREAM, draw, first, end)) / flights
        for draw in range(draws)
    ]
    shares = np.column_stack(columns) if columns else np.empty((end - first, 0))
    return np.clip(shares, _SMALLEST, 1.0 - _SMALLEST)


@lru_cache(maxsize=256)
def _strata(seed: int, flights: int, draw: int) -> NDArray[np.int64]:
    """Stratum of every flight: the rank of its own random word."""
    ranks = np.empty(flights, dtype=np.int64)
    ranks[np.argsort(_words(seed, _STRATA_STREAM, draw, 0, flights), kind="stable")] = np.arange(flights)
    ranks.flags.writeable = False
    return ranks


def _units(seed: int, stream: int, draw: int, first: int, end: int) -> NDArray[np.float64]:
    words = _words(seed, stream, draw, first, end)
    return np.asarray((words >> np.uint64(12)) * 2.0**-52, dtype=np.float64)


def _words(seed: int, stream: int, draw: int, first: int, end: int) -> NDArray[np.uint64]:
    """Random words number ``first`` to ``end - 1`` of one draw's own stream, four to a block."""
    block = first // 4
    generator = np.random.Philox(
        key=np.array([seed, draw], dtype=np.uint64),
        counter=np.array([block, 0, stream, 0], dtype=np.uint64),
    )
    return generator.random_raw(end - 4 * block)[first - 4 * block :]


def _sobol(seed: int, draws: int, first: int, end: int) -> NDArray[np.float64]:
    from scipy.stats.qmc import Sobol  # slow to import; only this design needs it

    if draws == 0:
        return np.empty((end - first, 0))
    generator = np.random.default_rng(np.random.SeedSequence([seed, _SOBOL_STREAM]))
    sequence = Sobol(draws, scramble=True, bits=_SOBOL_BITS, rng=generator)
    if first > 0:
        sequence.fast_forward(first)
    # One point, then the rest: a first call for a number that is no power of two would warn.
    parts = [sequence.random(1)]
    if end - first > 1:
        parts.append(sequence.random(end - first - 1))
    # Points lie on a grid from 0 on; its cells' middles touch neither end.
    return np.vstack(parts) + 0.5 ** (_SOBOL_BITS + 1)
