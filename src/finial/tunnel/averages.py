"""Means of a history that remembers, with the error that its memory leaves."""

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange

_LEAST = 4


def batch_means(
    history: NDArray[np.float64], batches: int = 8
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Mean of each column, and its standard error by batch means.

    .. math::  s^2 = \frac{1}{B (B - 1)} \sum_b \left( \bar x_b - \bar x \right)^2

    with :math:`B` batches, :math:`\bar x_b` the mean of each and :math:`\bar x` that of all.

    Parameters
    ----------
    history : ndarray, shape (n, k)
        Samples in order of time [any unit].
    batches : int
        Pieces of equal length [-]; each must be longer than the history remembers.

    Returns
    -------
    mean, error : ndarray, shape (k,)
        Both in the unit of the samples [any unit].

    Raises
    ------
    OutsideRange
        For fewer than 4 batches, or fewer samples than batches.

    Notes
    -----
    Too small where a batch is no longer than the memory; of eight batches the error itself is known to a
    quarter. Samples that do not fill the batches are dropped from the beginning.

    References
    ----------
    .. [1] Law, "Simulation Modeling and Analysis", batch means. From memory.

    Examples
    --------
    >>> mean, error = batch_means(np.arange(8.0)[:, None], batches=4)
    >>> mean.item(), round(error.item(), 3)
    (3.5, 1.291)
    """
    if batches < _LEAST or len(history) < batches:
        raise OutsideRange(f"{len(history)} samples in {batches} batches: at least 4 batches of one sample")
    even = history[len(history) % batches :]
    means = even.reshape(batches, -1, history.shape[1]).mean(axis=1)
    spread = ((means - means.mean(axis=0)) ** 2).sum(axis=0)
    return means.mean(axis=0), np.sqrt(spread / (batches * (batches - 1)))
