"""The speed at which swings of a fin grow, from its modes and unsteady air."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.structure.fins.air_states import FinSwinging, motion_matrix

_STILL = 2e-3
"""A growing motion slower than this share of the lowest frequency does not swing: it runs away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlutterOnset:
    """Lowest speed at which a small motion grows."""

    speed_m_s: float
    frequency_hz: float
    """0 where the fin does not swing but twists away (divergence)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedSweep:
    """Frequency and damping of each mode over speed."""

    speeds_m_s: NDArray[np.float64]
    """(v,)."""
    frequencies_hz: NDArray[np.float64]
    """(v, m); 0 where the mode no longer swings."""
    damping: NDArray[np.float64]
    """(v, m) over critical, negative where it grows [-]."""


MachFactor = Callable[[float], float]
"""Air forces at a speed [m/s] over those at rest [-]."""


def _one(_speed: float) -> float:
    return 1.0


def first_growth(
    swinging: FinSwinging,
    density_kg_m3: float,
    speeds_m_s: NDArray[np.float64],
    *,
    mach_factor: MachFactor = _one,
    tolerance: float = 1e-7,
) -> FlutterOnset | None:
    r"""Lowest speed at which an eigenvalue crosses into growth.

    .. math::  \max \mathrm{Re}\, \lambda(V) = 0

    Parameters
    ----------
    swinging : FinSwinging
        Structure and air.
    density_kg_m3 : float
        Air density [kg/m^3].
    speeds_m_s : ndarray, shape (v,)
        Speeds to try, rising [m/s].
    mach_factor : callable
        Factor on the air forces at a speed [-].
    tolerance : float
        How close the speed is wanted [-].

    Returns
    -------
    growth : Growth or None
        ``None`` if nothing grows at the speeds tried.

    Raises
    ------
    OutsideRange
        If density or a speed is not above zero, or the speeds do not rise.

    Notes
    -----
    Range: as :func:`finial.structure.fins.air_states.motion_matrix`; swings faster than the fitted reduced
    frequencies are passed over, for there the air only damps. Without structural damping it is the onset of
    the mildest growth; two modes that grow between two tried speeds and calm again are missed.

    References
    ----------
    .. [1] Hodges and Pierce, Introduction to Structural Dynamics and Aeroelasticity, chapter 5; from memory.

    Examples
    --------
    >>> from finial.structure.fins.air_states import air_states
    >>> k = np.linspace(0.0, 1.0, 9)
    >>> push = air_states(k, np.ones((9, 1, 1), dtype=complex))
    >>> one = FinSwinging(mass=np.eye(1), stiffness=np.array([[50.0]]), air=push, half_chord_m=0.1)
    >>> round(first_growth(one, 1.0, np.linspace(1.0, 20.0, 20)).speed_m_s, 4)
    10.0
    """
    speeds = np.asarray(speeds_m_s, dtype=float)
    require_positive(density_kg_m3=density_kg_m3, lowest_speed_m_s=float(speeds[0]))
    if (np.diff(speeds) <= 0).any():
        raise OutsideRange("speeds to try must rise")

    def worst(speed: float) -> complex:
        roots = np.linalg.eigvals(motion_matrix(swinging, speed, density_kg_m3, mach_factor(speed)))
        reduced = np.abs(roots.imag) * swinging.half_chord_m / speed
        fitted = np.where(reduced <= swinging.air.fastest, roots.real, -np.inf)
        return complex(roots[int(np.argmax(fitted))]) if np.isfinite(fitted).any() else -1.0 + 0.0j

    below = 0.0
    lowest = math.sqrt(
        float(np.linalg.eigvals(np.linalg.solve(swinging.mass, swinging.stiffness)).real.min())
    )
    slack = 1e-9 * lowest
    for speed in speeds:
        if worst(float(speed)).real > slack:
            return _between(worst, (below, float(speed)), lowest, tolerance)
        below = float(speed)
    return None


def _between(
    worst: Callable[[float], complex], ends: tuple[float, float], lowest: float, tolerance: float
) -> FlutterOnset:
    low, high = ends
    slack = 1e-9 * lowest
    for _ in range(50):
        middle = (low + high) / 2
        if middle <= 0 or high - low < tolerance * high:
            break
        if worst(middle).real > slack:
            high = middle
        else:
            low = middle
    swing = abs(worst(high).imag)
    still = swing < _STILL * lowest
    return FlutterOnset(speed_m_s=high, frequency_hz=0.0 if still else swing / (2 * math.pi))


def growing_shape(
    swinging: FinSwinging, speed_m_s: float, density_kg_m3: float, *, mach_factor: MachFactor = _one
) -> NDArray[np.complex128]:
    r"""How the modes move together in the motion that grows most, or is damped least, at a speed.

    .. math::  \eta(t) = \mathrm{Re}\,(\hat\eta\, e^{\lambda t}), \qquad A(V)\, \hat x = \lambda \hat x, \quad
               \mathrm{Im}\, \lambda \ge 0

    Parameters
    ----------
    swinging : FinSwinging
        Structure and air.
    speed_m_s : float
        Speed, usually that of :func:`first_growth` [m/s].
    density_kg_m3 : float
        Air density [kg/m^3].
    mach_factor : callable
        Factor on the air forces at a speed [-].

    Returns
    -------
    shares : ndarray of complex, shape (m,)
        Amplitude and phase of each mode, :math:`\hat\eta`; the largest is 1. A positive phase is ahead in
        time [-].

    Raises
    ------
    OutsideRange
        If speed or density is not above zero, or no motion lies within the fitted reduced frequencies.

    Notes
    -----
    Range: as :func:`first_growth`. Small motions: how large they become is not said.

    References
    ----------
    .. [1] As :func:`first_growth`.

    Examples
    --------
    >>> from finial.structure.fins.air_states import air_states
    >>> k = np.linspace(0.0, 1.0, 9)
    >>> still = air_states(k, np.zeros((9, 1, 1), dtype=complex))
    >>> one = FinSwinging(mass=np.eye(1), stiffness=np.array([[4.0]]), air=still, half_chord_m=0.1)
    >>> np.abs(growing_shape(one, 1.0, 1.2)).tolist()
    [1.0]
    """
    matrix = motion_matrix(swinging, speed_m_s, density_kg_m3, mach_factor(speed_m_s))
    found = np.linalg.eig(matrix)
    roots: NDArray[np.complex128] = np.asarray(found.eigenvalues, dtype=np.complex128)
    motions: NDArray[np.complex128] = np.asarray(found.eigenvectors, dtype=np.complex128)
    reduced = np.abs(roots.imag) * swinging.half_chord_m / speed_m_s
    fitted = np.where((reduced <= swinging.air.fastest) & (roots.imag >= 0.0), roots.real, -np.inf)
    if not np.isfinite(fitted).any():
        raise OutsideRange(f"no motion at {speed_m_s:g} m/s lies within the fitted reduced frequencies")
    shares = motions[: len(swinging.mass), int(np.argmax(fitted))]
    return np.asarray(shares / shares[int(np.abs(shares).argmax())], dtype=np.complex128)


def speed_sweep(
    swinging: FinSwinging,
    density_kg_m3: float,
    speeds_m_s: NDArray[np.float64],
    *,
    mach_factor: MachFactor = _one,
) -> SpeedSweep:
    """Follow every mode's frequency and damping over speed, for a picture.

    Parameters
    ----------
    swinging : FinSwinging
        Structure and air.
    density_kg_m3 : float
        Air density [kg/m^3].
    speeds_m_s : ndarray, shape (v,)
        Speeds, rising [m/s].
    mach_factor : callable
        Factor on the air forces at a speed [-].

    Returns
    -------
    sweep : SpeedSweep
        One column per mode.

    Raises
    ------
    OutsideRange
        If density or a speed is not above zero.

    Notes
    -----
    Each mode continues from the eigenvalue nearest to it at the speed before.

    References
    ----------
    .. [1] As :func:`first_growth`.

    Examples
    --------
    >>> from finial.structure.fins.air_states import air_states
    >>> k = np.linspace(0.0, 1.0, 9)
    >>> still = air_states(k, np.zeros((9, 1, 1), dtype=complex))
    >>> one = FinSwinging(mass=np.eye(1), stiffness=np.array([[4.0]]), air=still, half_chord_m=0.1)
    >>> speed_sweep(one, 1.2, np.array([1.0, 2.0])).frequencies_hz.round(3).ravel().tolist()
    [0.318, 0.318]
    """
    squares = np.linalg.eigvals(np.linalg.solve(swinging.mass, swinging.stiffness)).real
    held = 1j * np.sqrt(np.sort(squares))
    rows: list[NDArray[np.complex128]] = []
    for speed in np.asarray(speeds_m_s, dtype=float):
        roots = np.linalg.eigvals(
            motion_matrix(swinging, float(speed), density_kg_m3, mach_factor(float(speed)))
        )
        roots = roots[roots.imag >= 0]
        followed: list[np.complex128] = []
        for root in held:
            nearest = int(np.argmin(np.abs(roots - root)))
            followed.append(roots[nearest])
            roots = np.delete(roots, nearest) if roots.size > 1 else roots
        held = np.array(followed)
        rows.append(held)
    found = np.array(rows, dtype=np.complex128)
    return SpeedSweep(
        speeds_m_s=np.asarray(speeds_m_s, dtype=float),
        frequencies_hz=np.imag(found) / (2 * math.pi),
        damping=-np.real(found) / np.maximum(np.abs(found), 1e-12),
    )
