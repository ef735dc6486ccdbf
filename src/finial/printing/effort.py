"""What a piece takes: plastic, filament, hours; and what pieces already made say about the printer."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy

MASS_SPREAD = 0.08
"""Scale against the formula for prints nobody weighed yet [-]; common practice."""
TIME_LOW, TIME_HIGH = 0.8, 1.4
"""Clock against the formula for a printer nobody timed yet [-]; common practice."""
TRAVEL = 1.25
"""Time with travel, corners and layer changes over time of laying lines [-]: 1.15 to 1.4; common practice."""
_LEAST_MASS_SPREAD, _LEAST_TIME_SPREAD = 0.02, 0.05
"""However well the made pieces agree, the next may differ by so much [-]; chosen."""
_ONE_PIECE_MASS, _ONE_PIECE_TIME = 0.05, 0.15
"""Spread that one made piece alone leaves [-]; chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printer:
    """How the builder's printer lays plastic.

    Raises
    ------
    OutsideRange
        If a size or the speed is not above zero.
    """

    line_width_m: float
    layer_m: float
    speed_m_s: float
    """Of the nozzle while it lays lines."""
    filament_m: float = 1.75e-3
    """Diameter of the filament."""

    def __post_init__(self) -> None:
        """Refuse a printer that lays nothing."""
        require_positive(
            line_width_m=self.line_width_m,
            layer_m=self.layer_m,
            speed_m_s=self.speed_m_s,
            filament_m=self.filament_m,
        )

    @property
    def flow_m3_s(self) -> float:
        """Plastic laid in a second [m^3/s]."""
        return self.line_width_m * self.layer_m * self.speed_m_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What made pieces say: factors on the formulas' mass and time [-]."""

    mass: Estimate
    time: Estimate
    weighed: int = 0
    timed: int = 0


NOTHING_LEARNED = Learned(
    mass=Estimate(
        value=1.0,
        low=1.0 - MASS_SPREAD,
        high=1.0 + MASS_SPREAD,
        known_by=KnownBy.ASSUMED,
        method="nothing weighed yet",
        source="common practice",
    ),
    time=Estimate(
        value=1.0,
        low=TIME_LOW,
        high=TIME_HIGH,
        known_by=KnownBy.ASSUMED,
        method="nothing timed yet",
        source="common practice",
    ),
)


def learned(masses: Sequence[tuple[float, float]], times: Sequence[tuple[float, float]]) -> Learned:
    r"""Factors that made pieces put on the formulas.

    .. math::  c = \frac{\sum m_i}{\sum \hat m_i}, \qquad c \, (1 \mp h), \qquad
               h = \max\left( \max_i \left| \frac{m_i}{c \, \hat m_i} - 1 \right|, h_0 \right)

    Parameters
    ----------
    masses : sequence of (float, float)
        Each weighed piece: what the scale says and what the formula does [kg].
    times : sequence of (float, float)
        Each timed piece: what the clock says and what the formula does [s].

    Returns
    -------
    learned : Learned
        Factors [-]; those of common practice where there is no piece.

    Raises
    ------
    OutsideRange
        If a mass or a time is not above zero.

    Notes
    -----
    Holds for pieces printed as those were: same material, walls and speeds. The spread is the worst piece's,
    but never under 2 % of a mass or 5 % of a time, and 5 % and 15 %, or half of what it
    moves the formula by, where there is one piece alone.

    References
    ----------
    .. [1] Ratio estimator: W. G. Cochran, Sampling Techniques, 3rd ed., 1977, chapter 6; from memory. The
       least spreads are choices of this project.

    Examples
    --------
    >>> factors = learned([(0.110, 0.100), (0.208, 0.200)], [(36_000.0, 30_000.0)])
    >>> round(factors.mass.value, 3), round(factors.time.low, 3), factors.weighed
    (1.06, 1.02, 2)
    """
    return Learned(
        mass=_ratio(masses, _ONE_PIECE_MASS, _LEAST_MASS_SPREAD) or NOTHING_LEARNED.mass,
        time=_ratio(times, _ONE_PIECE_TIME, _LEAST_TIME_SPREAD) or NOTHING_LEARNED.time,
        weighed=len(masses),
        timed=len(times),
    )


def _ratio(pairs: Sequence[tuple[float, float]], alone: float, least: float) -> Estimate | None:
    if not pairs:
        return None
    if not all(made > 0.0 and told > 0.0 for made, told in pairs):
        raise OutsideRange(f"masses and times of made pieces are above zero: got {list(pairs)}")
    ratio = sum(made for made, _ in pairs) / sum(told for _, told in pairs)
    worst = max(abs(made / (told * ratio) - 1.0) for made, told in pairs)
    # One piece alone may be odd itself: half of what it moves the formula by is doubt.
    half = max(alone, abs(ratio - 1.0) / 2) if len(pairs) == 1 else max(worst, least)
    return Estimate(
        value=ratio,
        low=ratio * (1.0 - half),
        high=ratio * (1.0 + half),
        known_by=KnownBy.MEASURED,
        method=f"{len(pairs)} made over computed",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What one piece takes."""

    mass: Estimate
    """[kg]."""
    time: Estimate
    """[s]."""
    filament_m: Estimate
    """Length of filament [m]."""


def effort(plastic_m3: float, density_kg_m3: float, printer: Printer, factors: Learned) -> Effort:
    r"""Mass, filament and time of a piece.

    .. math::  m = c_m \rho V, \qquad L = \frac{m}{\rho \, \pi d^2 / 4}, \qquad
               t = c_t \frac{1.25 \, V}{w h v}

    Parameters
    ----------
    plastic_m3 : float
        Plastic in it by its walls and infill, :math:`V` [m^3].
    density_kg_m3 : float
        Of the plastic [kg/m^3].
    printer : Printer
        Line width :math:`w`, layer :math:`h` [m] and speed :math:`v` [m/s].
    factors : Learned
        What made pieces say [-].

    Returns
    -------
    effort : Effort
        Mass [kg], filament [m] and time [s], each with its interval.

    Raises
    ------
    OutsideRange
        If plastic or density is not above zero.

    Notes
    -----
    Without made pieces the mass is good to 8 % and the time to -20 / +40 %: heating, slow first layers,
    supports and brims are not counted by themselves.

    References
    ----------
    .. [1] Continuity of what is laid; 15 to 40 % for travel is common practice.

    Examples
    --------
    >>> fast = Printer(line_width_m=0.45e-3, layer_m=0.2e-3, speed_m_s=0.1)
    >>> one = effort(1.0 / 1240.0, 1240.0, fast, NOTHING_LEARNED)
    >>> round(fast.flow_m3_s * 1e9, 3), round(one.filament_m.value, 1), round(one.time.value / 3600 / 1.25, 2)
    (9.0, 335.3, 24.89)
    """
    require_positive(plastic_m3=plastic_m3, density_kg_m3=density_kg_m3)
    mass = factors.mass.scaled(plastic_m3 * density_kg_m3)
    wire = density_kg_m3 * math.pi / 4 * printer.filament_m**2
    laying = plastic_m3 / printer.flow_m3_s
    return Effort(
        mass=replace(mass, method="walls x surface + infill x inside"),
        time=replace(factors.time.scaled(TRAVEL * laying), method="plastic over flow, with travel"),
        filament_m=mass.scaled(1.0 / wire),
    )


def relearned(before: Effort, factors: Learned) -> Effort:
    """Put what made pieces say on an effort that was found without any.

    Parameters
    ----------
    before : Effort
        By the formulas alone.
    factors : Learned
        What made pieces say [-].

    Returns
    -------
    after : Effort
        The same with their factors and intervals.

    Notes
    -----
    Exact: mass, filament and time are in proportion to their factors.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> slow = Printer(line_width_m=0.45e-3, layer_m=0.2e-3, speed_m_s=0.06)
    >>> plain = effort(1e-4, 1240.0, slow, NOTHING_LEARNED)
    >>> round(relearned(plain, learned([(0.11, 0.10)], [])).mass.value, 4)
    0.1364
    """
    per_mass = before.filament_m.value / before.mass.value
    mass = factors.mass.scaled(before.mass.value)
    return Effort(
        mass=replace(mass, method=before.mass.method),
        time=replace(factors.time.scaled(before.time.value), method=before.time.method),
        filament_m=mass.scaled(per_mass),
    )
