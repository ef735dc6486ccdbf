"""How fast it really swung across its axis, over how fast the model has it swing."""

import numpy as np
from numpy.typing import NDArray

from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy
from finial.core.statistics import NINETY

_SLOWEST, _FASTEST = 0.4, 2.2
_TRIED = 361
_FEWEST_ROWS, _MOST_ROWS = 64, 3000
_FEWEST_SWINGS = 2.0
_CLEAR = 12.0
"""Power of the swing over that of what is left, for it to be one."""
_MODEL = 0.025
"""Assumed: a swing that dies out, and speeds that are not known better, blur it so much."""


def swing_ratio(
    times_s: NDArray[np.float64], rates_rad_s: NDArray[np.float64], model_rad_s: NDArray[np.float64]
) -> Estimate | None:
    r"""Ratio of the frequency at which it swung to that of the model.

    .. math::  r = \arg\max_r \left( |W(r)|^2 + |W(-r)|^2 \right), \qquad
               W(r) = \sum_k w_k\, e^{i \psi_k}\, e^{-i r \theta_k}, \qquad
               \theta = \int \omega\, dt, \quad \psi = \int p\, dt

    with the rates across :math:`w = q + i r` turned back by the roll, over the model's own phase, so that a
    swing that slows with the vehicle is one of one frequency.

    Parameters
    ----------
    times_s : ndarray, shape (n,)
        Rising [s].
    rates_rad_s : ndarray, shape (n, 3)
        About the axis to the tip and two across [rad/s].
    model_rad_s : ndarray, shape (n,)
        Frequency that the model has at each time, :math:`\omega` [rad/s].

    Returns
    -------
    ratio : Estimate or None
        Its ends hold about nine in ten [-]. ``None`` where no swing stands clear of the noise, between 0.4
        and 2.2 of the model's, or fewer than two of the model's swings were flown.

    Raises
    ------
    OutsideRange
        If times do not rise or a frequency is not above zero.

    Notes
    -----
    The width is that of one frequency in white noise with what is left for its size, and 2.5 % on top,
    assumed, for a swing that dies out. A crooked body that rolls swings with its roll, which is taken
    for its own.

    References
    ----------
    .. [1] Bretthorst, Bayesian Spectrum Analysis and Parameter Estimation, 1988, chapter 2 (from memory).

    Examples
    --------
    >>> times = np.arange(0.0, 4.0, 0.01)
    >>> across = 0.3 * np.sin(2.2 * times * 2.0 * np.pi)
    >>> rates = np.column_stack([0.0 * times, across, 0.0 * times])
    >>> round(swing_ratio(times, rates, np.full(400, 2.0 * 2.0 * np.pi)).value, 2)
    1.1
    """
    if len(times_s) < 2 or not (np.all(np.diff(times_s) > 0.0) and np.all(model_rad_s > 0.0)):
        raise OutsideRange("times that rise and frequencies above zero are accepted")
    known = np.isfinite(rates_rad_s).all(axis=1)
    phase = _summed(times_s, model_rad_s)
    if known.sum() < _FEWEST_ROWS or phase[-1] < 2.0 * np.pi * _FEWEST_SWINGS:
        return None
    roll = _summed(times_s[known], rates_rad_s[known, 0])
    across = (rates_rad_s[known, 1] + 1j * rates_rad_s[known, 2]) * np.exp(1j * roll)
    even: NDArray[np.float64] = np.linspace(0.0, float(phase[-1]), min(int(known.sum()), _MOST_ROWS))
    swings = np.interp(even, phase[known], across.real) + 1j * np.interp(even, phase[known], across.imag)
    return _strongest(even, _without_bend(swings))


def _summed(times: NDArray[np.float64], rates: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.concatenate([[0.0], np.cumsum(0.5 * (rates[1:] + rates[:-1]) * np.diff(times))])


def _without_bend(swings: NDArray[np.complex128]) -> NDArray[np.complex128]:
    """Leave out what a cubic over the whole way follows: the path turning over."""
    ramp: NDArray[np.float64] = np.linspace(-1.0, 1.0, len(swings))
    bends = [np.polyval(np.polyfit(ramp, part, 3), ramp) for part in (swings.real, swings.imag)]
    return swings - (bends[0] + 1j * bends[1])


def _strongest(phase: NDArray[np.float64], swings: NDArray[np.complex128]) -> Estimate | None:
    tried: NDArray[np.float64] = np.linspace(_SLOWEST, _FASTEST, _TRIED)
    turns = np.exp(-1j * np.outer(tried, phase))
    both = np.abs(turns @ swings) ** 2 + np.abs(turns.conj() @ swings) ** 2
    power = np.asarray(both / len(phase), dtype=float)
    top = int(np.argmax(power))
    if top in (0, _TRIED - 1):
        return None
    whole = float((np.abs(swings) ** 2).sum())
    left = max(whole - float(power[top]), 1e-9 * whole) / len(phase)
    if power[top] < _CLEAR * left:
        return None
    step = float(tried[1] - tried[0])
    falls = (2.0 * power[top] - power[top - 1] - power[top + 1]) / step**2
    shift = 0.5 * (power[top + 1] - power[top - 1]) / (falls * step**2)
    value = float(tried[top] + shift * step)
    half = NINETY * float(np.hypot(np.sqrt(left / falls), _MODEL * value))
    return Estimate(
        value=value, low=value - half, high=value + half, known_by=KnownBy.MEASURED, method="swings"
    )
