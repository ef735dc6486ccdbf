"""Unsteady air forces as a few states, so that flutter is a question of eigenvalues."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange

LAG_RATES = (0.08, 0.2, 0.5, 1.2)
"""Decay of each lag state in half chords travelled [-]; wide enough for wakes of short and long fins."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirStates:
    """Fitted air forces: stiffness, damping and mass-like parts, and one part per lag; each (m, m)."""

    stiff: NDArray[np.float64]
    damping: NDArray[np.float64]
    mass: NDArray[np.float64]
    lags: NDArray[np.float64]
    """(lags, m, m)."""
    rates: tuple[float, ...]
    misfit: float
    """Largest misfit over the largest force [-]."""
    fastest: float
    """Largest reduced frequency of the fit [-]: beyond it the fit is not to be believed."""

    def at(self, reduced_frequency: float) -> NDArray[np.complex128]:
        r"""Fitted force at a reduced frequency.

        .. math::  Q(ik) = A_0 + i k A_1 - k^2 A_2 + \sum_l \frac{i k}{i k + \beta_l} L_l

        Parameters
        ----------
        reduced_frequency : float
            Half chord times angular frequency over speed, :math:`k` [-].

        Returns
        -------
        force : ndarray of complex, shape (m, m)
            Generalised force per dynamic pressure, as ``air_states`` was given it [any].

        Notes
        -----
        Holds up to ``fastest``; the misfit says how well.

        References
        ----------
        .. [1] Roger, AGARD CP-228 (1977); from memory, not re-read.

        Examples
        --------
        >>> k = np.linspace(0.0, 1.0, 9)
        >>> states = air_states(k, (2.0 + 3j * k - k**2)[:, None, None])
        >>> states.at(0.5)[0, 0].round(6).item()
        (1.75+1.5j)
        """
        s = 1j * reduced_frequency
        lagging = sum(lag * (s / (s + rate)) for lag, rate in zip(self.lags, self.rates, strict=True))
        return self.stiff + self.damping * s + self.mass * s**2 + lagging


def air_states(
    reduced_frequencies: NDArray[np.float64],
    loads: NDArray[np.complex128],
    *,
    rates: tuple[float, ...] = LAG_RATES,
) -> AirStates:
    r"""Fit swinging air forces with lag states.

    .. math::
        Q(ik) \approx A_0 + i k A_1 - k^2 A_2 + \sum_l \frac{i k}{i k + \beta_l} L_l

    Parameters
    ----------
    reduced_frequencies : ndarray, shape (f,)
        Rising, the first zero [-].
    loads : ndarray, shape (f, m, m)
        Generalised forces at each, per dynamic pressure, in any unit [any].
    rates : tuple of float
        Decay rates :math:`\beta_l` [-].

    Returns
    -------
    states : AirStates
        Parts of the fit; exact at zero frequency.

    Raises
    ------
    OutsideRange
        If the first frequency is not zero, there are too few, or a rate is not above zero.

    Notes
    -----
    Holds between the frequencies given; the misfit says how well.

    References
    ----------
    .. [1] Roger, Airplane math modeling methods for active control design, AGARD CP-228 (1977); from memory,
       not re-read.

    Examples
    --------
    >>> k = np.linspace(0.0, 1.0, 9)
    >>> states = air_states(k, (2.0 + 3j * k - k**2)[:, None, None])
    >>> round(float(states.stiff[0, 0]), 6), states.misfit < 1e-9
    (2.0, True)
    """
    k = np.asarray(reduced_frequencies, dtype=float)
    if k[0] != 0.0 or 2 * (k.size - 1) < 2 + len(rates):
        raise OutsideRange(f"lag states need frequencies from 0 up, {2 + len(rates) // 2} or more: got {k}")
    for rate in rates:
        require_positive(rate=rate)
    size = loads.shape[1]
    stiff = loads[0].real
    s = 1j * k[1:]
    columns = np.column_stack([s, s**2, *(s / (s + rate) for rate in rates)])
    wanted = (loads[1:] - stiff).reshape(k.size - 1, -1)
    answer, *_ = np.linalg.lstsq(
        np.vstack([columns.real, columns.imag]), np.vstack([wanted.real, wanted.imag]), rcond=None
    )
    parts = np.asarray(answer, dtype=np.float64).reshape(-1, size, size)
    missed = np.abs(columns @ answer - wanted).max()
    return AirStates(
        stiff=stiff,
        damping=parts[0],
        mass=parts[1],
        lags=np.asarray(parts[2:], dtype=np.float64),
        rates=rates,
        misfit=float(missed / max(float(np.abs(loads).max()), 1e-300)),
        fastest=float(k[-1]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FinSwinging:
    """A structure in its own modes, and the air it swings in.

    Matrices (m, m); ``air`` is per dynamic pressure, reduced frequency uses ``half_chord_m``.
    """

    mass: NDArray[np.float64]
    stiffness: NDArray[np.float64]
    air: AirStates
    half_chord_m: float
    damping_share: float = 0.0
    """Structural damping over critical, the same in every mode [-]."""

    def __post_init__(self) -> None:
        """Refuse what cannot swing."""
        require_positive(half_chord_m=self.half_chord_m, one_plus_damping=1.0 + self.damping_share)


def motion_matrix(
    swinging: FinSwinging, speed_m_s: float, density_kg_m3: float, factor: float = 1.0
) -> NDArray[np.float64]:
    r"""Matrix whose eigenvalues say whether swings grow at a speed.

    .. math::
        \left(M - q \tfrac{b^2}{V^2} A_2\right) \ddot\eta + \left(C - q \tfrac b V A_1\right) \dot\eta
        + (K - q A_0) \eta = q \sum_l L_l x_l, \qquad \dot x_l = \dot\eta - \beta_l \tfrac V b x_l

    Parameters
    ----------
    swinging : FinSwinging
        Structure and air.
    speed_m_s : float
        Speed [m/s].
    density_kg_m3 : float
        Air density [kg/m^3].
    factor : float
        Factor on the air forces: that of the Mach number [-].

    Returns
    -------
    matrix : ndarray
        State matrix [1/s]; states are deflections, their rates, lags.

    Raises
    ------
    OutsideRange
        If speed, density or factor is not above zero.

    Notes
    -----
    Range: as the fit of the air forces. Small swings.

    References
    ----------
    .. [1] Roger, AGARD CP-228 (1977); from memory, not re-read.

    Examples
    --------
    >>> k = np.linspace(0.0, 1.0, 9)
    >>> still = air_states(k, np.zeros((9, 1, 1), dtype=complex))
    >>> one = FinSwinging(mass=np.eye(1), stiffness=np.array([[4.0]]), air=still, half_chord_m=0.1)
    >>> round(float(np.abs(np.linalg.eigvals(motion_matrix(one, 10.0, 1.2)).imag).max()), 6)
    2.0
    """
    require_positive(speed_m_s=speed_m_s, density_kg_m3=density_kg_m3, factor=factor)
    air, size = swinging.air, len(swinging.mass)
    pressure = density_kg_m3 * speed_m_s**2 / 2 * factor
    travel = swinging.half_chord_m / speed_m_s
    mass = swinging.mass - pressure * travel**2 * air.mass
    roots = np.sqrt(np.maximum(np.diag(swinging.stiffness) * np.diag(swinging.mass), 0.0))
    damping = np.diag(2 * swinging.damping_share * roots) - pressure * travel * air.damping
    stiffness = swinging.stiffness - pressure * air.stiff
    lag_columns = [pressure * lag for lag in air.lags]
    solved = np.linalg.solve(mass, np.hstack([-stiffness, -damping, *lag_columns]))
    lower = np.asarray(solved, dtype=np.float64)
    zero, one = np.zeros((size, size)), np.eye(size)
    rows = [np.hstack([zero, one, *(zero for _ in air.rates)]), lower]
    for index, rate in enumerate(air.rates):
        decays = [-rate / travel * one if index == other else zero for other in range(len(air.rates))]
        rows.append(np.hstack([zero, one, *decays]))
    return np.vstack(rows)
