"""Flutter of a fin's typical section, with steady and with unsteady air loads."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from finial.structure.bounds import need_between, need_finite, need_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class TypicalSection:
    """A strip of fin of half chord b that heaves and twists. All numbers are pure ratios.

    Distances are in half chords aft of mid-chord.
    """

    axis: float
    """Elastic axis, a."""
    imbalance: float
    """Mass centre aft of the elastic axis, x."""
    radius_squared: float
    """Radius of gyration about the elastic axis, squared, r^2."""
    frequency_ratio: float
    """Heave over twist frequency, sigma."""
    mass_ratio: float
    """Mass over that of the air cylinder round the chord, m / (pi rho b^2)."""

    def __post_init__(self) -> None:
        """Refuse what no section can be."""
        need_between(-1.0, 1.0, axis=self.axis)
        need_finite(imbalance=self.imbalance)
        need_positive(radius_squared=self.radius_squared, mass_ratio=self.mass_ratio)
        need_between(0.0, 100.0, frequency_ratio=self.frequency_ratio)
        need_positive(own_inertia=self.radius_squared - self.imbalance**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlutterPoint:
    """Speed over b times the twist frequency [-], and frequency over the twist frequency [-]."""

    speed: float
    frequency: float


def theodorsen(reduced_frequency: ArrayLike) -> NDArray[np.complex128]:
    r"""Lag of the lift behind an oscillation.

    .. math::  C(k) = \frac{H_1^{(2)}(k)}{H_1^{(2)}(k) + i H_0^{(2)}(k)}, \qquad k = \omega b / V

    Parameters
    ----------
    reduced_frequency : array_like, shape (...)
        Reduced frequency k [-].

    Returns
    -------
    lag : ndarray, shape (...)
        Complex lift over quasi-steady lift [-].

    Raises
    ------
    OutsideRange
        If a frequency is not above zero and finite.

    Notes
    -----
    Holds for a thin section in incompressible flow, small swings.

    References
    ----------
    .. [1] Theodorsen, NACA Report 496, 1935, as restated by Perry, NASA/TP-2020-220562.

    Examples
    --------
    >>> complex(theodorsen(0.5).round(4))
    (0.5979-0.1507j)
    """
    from scipy.special import hankel2

    k = np.asarray(reduced_frequency, dtype=float)
    need_positive(least_reduced_frequency=float(np.min(k)), largest_reduced_frequency=float(np.max(k)))
    first = hankel2(1, k)
    return np.asarray(first / (first + 1j * hankel2(0, k)))


def divergence_speed(section: TypicalSection) -> float:
    r"""Speed at which the section twists away, over b times the twist frequency.

    .. math::  V_D = r \sqrt{\frac{\mu}{1 + 2 a}}

    Parameters
    ----------
    section : TypicalSection
        Ratios [-].

    Returns
    -------
    speed : float
        Speed ratio [-]; infinite when lift acts at or behind the elastic axis.

    Notes
    -----
    Holds in two-dimensional incompressible flow; a real fin's lift slope is smaller and its speed higher.

    References
    ----------
    .. [1] Hodges and Pierce, Introduction to Structural Dynamics and Aeroelasticity, chapter 5; from memory.

    Examples
    --------
    >>> example = TypicalSection(
    ...     axis=-0.2, imbalance=0.1, radius_squared=0.24, frequency_ratio=0.4, mass_ratio=20.0)
    >>> round(divergence_speed(example), 3)
    2.828
    """
    ahead = 1 + 2 * section.axis
    return math.sqrt(section.mass_ratio * section.radius_squared / ahead) if ahead > 0 else math.inf


def steady_flutter(section: TypicalSection) -> FlutterPoint | None:
    r"""Flutter with lift that follows the angle at once.

    .. math::
        \det\left[ \mu \begin{pmatrix} \sigma^2 - s^2 & -x s^2 \\ -x s^2 & r^2 (1 - s^2) \end{pmatrix}
        + V^2 \begin{pmatrix} 0 & 2 \\ 0 & -(1 + 2 a) \end{pmatrix} \right] = 0

    at the lowest V where the two frequencies s meet.

    Parameters
    ----------
    section : TypicalSection
        Ratios [-].

    Returns
    -------
    flutter : FlutterPoint or None
        ``None`` if the frequencies never meet.

    Notes
    -----
    Holds for a first look only: it leaves out all damping by the air and is commonly low.

    References
    ----------
    .. [1] Hodges and Pierce, Introduction to Structural Dynamics and Aeroelasticity, chapter 5; from memory.

    Examples
    --------
    >>> example = TypicalSection(
    ...     axis=-0.2, imbalance=0.1, radius_squared=0.24, frequency_ratio=0.4, mass_ratio=20.0)
    >>> round(steady_flutter(example).speed, 3)
    1.843
    """
    r2, x, heave = section.radius_squared, section.imbalance, section.frequency_ratio**2
    # (r2 - x2) s^4 - B s^2 + C = 0 with u = V^2 / mu: B = b0 + b1 u, C = c0 + c1 u.
    lead = r2 - x**2
    b0, b1 = r2 * (1 + heave), -(1 + 2 * section.axis) - 2 * x
    c0, c1 = r2 * heave, -heave * (1 + 2 * section.axis)
    meets = np.roots([b1**2, 2 * b0 * b1 - 4 * lead * c1, b0**2 - 4 * lead * c0])
    real = sorted(float(u.real) for u in meets if abs(u.imag) < 1e-12 and u.real > 0)
    for u in real:
        square = (b0 + b1 * u) / (2 * lead)
        if square > 0:
            return FlutterPoint(speed=math.sqrt(u * section.mass_ratio), frequency=math.sqrt(square))
    return None


def unsteady_flutter(section: TypicalSection) -> FlutterPoint | None:
    r"""Flutter with the lag and added mass of an oscillating thin section.

    .. math::
        \det\left[ \mu \begin{pmatrix} \sigma^2 X - 1 & -x \\ -x & r^2 (X - 1) \end{pmatrix} + A \right] = 0,
        \quad X = (\omega_\theta / \omega)^2

    At each reduced frequency k the determinant is a quadratic in X with complex coefficients; flutter is
    where one of its roots is real. The lowest speed :math:`1 / (k \sqrt X)` counts.

    Parameters
    ----------
    section : TypicalSection
        Ratios [-].

    Returns
    -------
    flutter : FlutterPoint or None
        ``None`` if there is none for k from 0.01 to 4.

    Notes
    -----
    Holds for a section of a long fin in incompressible flow; a short fin's lift is smaller and its flutter
    speed higher. Structural damping is left out.

    References
    ----------
    .. [1] Theodorsen, NACA Report 496, 1935, as restated by Perry, NASA/TP-2020-220562.
    .. [2] Hodges and Pierce, Introduction to Structural Dynamics and Aeroelasticity, chapter 5; from memory.

    Examples
    --------
    >>> example = TypicalSection(
    ...     axis=-0.2, imbalance=0.1, radius_squared=0.24, frequency_ratio=0.4, mass_ratio=20.0)
    >>> round(unsteady_flutter(example).speed, 2), round(unsteady_flutter(example).frequency, 2)
    (2.18, 0.65)
    """
    tried = np.geomspace(0.01, 4.0, 400)
    left = _miss(section, tried)
    turns = np.flatnonzero(np.sign(left[:-1]) * np.sign(left[1:]) < 0)
    roots = [_root_between(section, float(tried[i]), float(tried[i + 1])) for i in turns]
    points = [point for k in roots for point in _real_points(section, k)]
    return min(points, key=lambda point: point.speed, default=None)


def _root_between(section: TypicalSection, low: float, high: float) -> float:
    """Halve the interval until it is as narrow as floating point allows."""
    rising = _miss(section, np.array([low]))[0] < 0
    for _ in range(60):
        middle = (low + high) / 2
        below = (_miss(section, np.array([middle]))[0] < 0) == rising
        low, high = (middle, high) if below else (low, middle)
    return (low + high) / 2


def _quadratic(
    section: TypicalSection, k: NDArray[np.float64]
) -> tuple[NDArray[np.complex128], NDArray[np.complex128], NDArray[np.complex128]]:
    """Coefficients of the determinant in X, each shape (n,)."""
    a, x, r2, mu = section.axis, section.imbalance, section.radius_squared, section.mass_ratio
    heave = section.frequency_ratio**2
    lag = theodorsen(k)
    lift_heave = 2j * lag / k - 1
    lift_twist = 2 * lag / k * (1 / k + 1j * (0.5 - a)) + 1j / k + a
    # Nose-down moment about the elastic axis: of the added mass about the quarter chord, and of the lift.
    turn_heave = -0.5 - (0.5 + a) * lift_heave
    turn_twist = 1j / k - (1 / 8 - a / 2) - (0.5 + a) * lift_twist
    p11, p12 = -mu + lift_heave, -mu * x + lift_twist
    p21, p22 = -mu * x + turn_heave, -mu * r2 + turn_twist
    lead = np.full(k.shape, mu**2 * heave * r2, dtype=complex)
    return lead, mu * heave * p22 + mu * r2 * p11, p11 * p22 - p12 * p21


def _miss(section: TypicalSection, k: NDArray[np.float64]) -> NDArray[np.float64]:
    """Resultant of the real and imaginary parts: zero where they share a root, shape (n,)."""
    lead, middle, last = _quadratic(section, k)
    # The leading coefficient is real, so the imaginary part is linear in X.
    return lead.real * last.imag**2 - middle.imag * (middle.real * last.imag - middle.imag * last.real)


def _real_points(section: TypicalSection, k: float) -> list[FlutterPoint]:
    _, middle, last = _quadratic(section, np.array([k]))
    ratio = float(-last.imag[0] / middle.imag[0])
    return (
        [FlutterPoint(speed=1 / (k * math.sqrt(ratio)), frequency=1 / math.sqrt(ratio))] if ratio > 0 else []
    )
