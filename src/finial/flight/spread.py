"""How many flights of one vehicle differ: what is drawn, between which ends, and how it acts."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate
from finial.flight.inputs import FlightInputs
from finial.flight.kernel import spread_layout as slots
from finial.flight.uncertain import Uncertain

EVEN, BELL, ODDS = "even", "bell", "odds"
_SHAPES = {EVEN: slots.EVEN, BELL: slots.BELL, ODDS: slots.ODDS}
ROW_PARTS = ("mass_factor", "shift_x", "shift_y", "shift_z")
CANOPY_PARTS = ("drag_factor", "delay_s", "threshold", "filling_factor", "stays_in", "stays_bundle")


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """One uncertain number.

    ``shape`` is ``"even"`` (any value between the ends alike), ``"bell"`` (normal, the ends at
    two standard deviations, cut at four) or ``"odds"`` (1 with probability ``above``, else 0).
    """

    number: Uncertain
    slot: int
    """Where it acts: a number of ``spread_layout``, or from :func:`row_slot` or :func:`canopy_slot`."""
    shape: str
    base: float
    below: float = 0.0
    """How far the low end lies under the base [unit of the slot]."""
    above: float = 0.0
    unit: str = ""
    """SI unit of the value, for tables."""

    @property
    def name(self) -> str:
        """What the builder calls it."""
        return self.number.name


@dataclass(frozen=True, slots=True, kw_only=True)
class MassParts:
    """The vehicle as rows that each may weigh more or stand elsewhere, and the motor over its burn.

    Moments are mass; first moments x y z; second moments xx yy zz xy xz yz, about the tip, body axes.
    """

    rows: NDArray[np.float64]
    """(n, 10), everything but the motor."""
    motor_times_s: NDArray[np.float64]
    """(k,) from ignition."""
    motor: NDArray[np.float64]
    """(k, 10)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Everything that differs from flight to flight."""

    draws: tuple[Draw, ...]
    masses: MassParts
    wind_speed_m_s: float = 1.0
    """Wind at 10 m that the inputs' column of wind belongs to [m/s]."""
    gust_heights_m: NDArray[np.float64] = field(default_factory=lambda: np.empty(0))
    """Heights that gusts are drawn at [m]; none: no gusts."""


def either_way(
    number: Uncertain, slot: int, ends: float, unit: str = "", *, base: float = 0.0, shape: str = EVEN
) -> Draw:
    """Draw a number that may lie as far below its nominal value as above.

    Parameters
    ----------
    number : Uncertain
        Which number.
    slot : int
        Where the kernel finds it.
    ends : float
        How far off it may be, in its unit [any].
    unit : str
        Its unit in words.
    base : float
        Nominal value [any].
    shape : str
        ``EVEN`` or ``BELL``.

    Returns
    -------
    draw : Draw
        As far to both sides.

    Notes
    -----
    Holds for every shape but odds, which have one side.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.flight.uncertain import Drawn
    >>> impulse = Uncertain(kind=Drawn.IMPULSE)
    >>> drawn = either_way(impulse, slots.THRUST_FACTOR, 0.05, "share", base=1.0, shape=BELL)
    >>> drawn.below, drawn.above
    (0.05, 0.05)
    """
    return Draw(number=number, slot=slot, shape=shape, base=base, below=ends, above=ends, unit=unit)


def factor_of(number: Uncertain, slot: int, band: Estimate) -> Draw:
    r"""Draw the factor on a number that lies anywhere in an interval, any value alike.

    .. math::  f \in [x^- / x, \; x^+ / x]

    Parameters
    ----------
    number : Uncertain
        Which number.
    slot : int
        Where the kernel finds its factor.
    band : Estimate
        The number and its interval, :math:`x, x^-, x^+`; above zero [any].

    Returns
    -------
    draw : Draw
        About 1 [-].

    Raises
    ------
    OutsideRange
        If the number is not above zero: nothing times it reaches its ends.

    Notes
    -----
    Holds for numbers above zero.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy
    >>> from finial.flight.uncertain import Drawn
    >>> band = Estimate(value=0.5, low=0.4, high=0.7, known_by=KnownBy.COMPUTED)
    >>> drawn = factor_of(Uncertain(kind=Drawn.AXIAL_FORCE), slots.AXIAL_FACTOR, band)
    >>> round(drawn.below, 9), round(drawn.above, 9)
    (0.2, 0.4)
    """
    require_positive(value=band.value)
    below, above = (band.value - band.low) / band.value, (band.high - band.value) / band.value
    return Draw(number=number, slot=slot, shape=EVEN, base=1.0, below=below, above=above, unit="share")


def row_slot(row: int, part: str) -> int:
    """Slot of a row of the mass table.

    Parameters
    ----------
    row : int
        Number of the row, from 0.
    part : str
        ``mass_factor`` [-], ``shift_x``, ``shift_y`` or ``shift_z`` [m].

    Returns
    -------
    slot : int
        Its number.

    Notes
    -----
    Rows that are not there are refused when the campaign is packed.

    References
    ----------
    .. [1] ``kernel.spread_layout``; definition.

    Examples
    --------
    >>> row_slot(0, "mass_factor")
    24
    """
    return slots.FIRST_ROW + slots.ROW_SLOTS * row + ROW_PARTS.index(part)


def canopy_slot(rows: int, canopy: int, part: str) -> int:
    """Slot of a canopy, behind those of the rows of the mass table.

    Parameters
    ----------
    rows : int
        Number of rows of the mass table.
    canopy : int
        Number of the canopy, from 0.
    part : str
        One of ``CANOPY_PARTS``: factors and odds [-], ``delay_s`` [s], ``threshold`` [m] or [s].

    Returns
    -------
    slot : int
        Its number.

    Notes
    -----
    Canopies that are not there are refused when the campaign is packed.

    References
    ----------
    .. [1] ``kernel.spread_layout``; definition.

    Examples
    --------
    >>> canopy_slot(0, 1, "delay_s")
    31
    """
    first = slots.FIRST_ROW + slots.ROW_SLOTS * rows
    return first + slots.CANOPY_SLOTS * canopy + CANOPY_PARTS.index(part)


def moments_of_body(
    mass_kg: float, centre_m: NDArray[np.float64], inertia_kg_m2: NDArray[np.float64]
) -> NDArray[np.float64]:
    r"""Mass, first and second moments of a body about the tip.

    .. math::  S = \tfrac12 \operatorname{tr}(I)\, 1 - I + m\, c\, c^T

    Parameters
    ----------
    mass_kg : float
        Mass [kg].
    centre_m : ndarray, shape (3,)
        Balance point, body axes [m].
    inertia_kg_m2 : ndarray, shape (3, 3)
        About the balance point [kg m^2].

    Returns
    -------
    moments : ndarray, shape (10,)
        [kg], [kg m] x y z, [kg m^2] xx yy zz xy xz yz.

    Raises
    ------
    OutsideRange
        If a number is not finite.

    Notes
    -----
    Exact; moments of bodies simply add.

    References
    ----------
    .. [1] Parallel-axis theorem; any text on mechanics.

    Examples
    --------
    >>> moments_of_body(2.0, np.array([-0.5, 0, 0]), np.zeros((3, 3)))[[0, 1, 4]].tolist()
    [2.0, -1.0, 0.5]
    """
    second = 0.5 * np.trace(inertia_kg_m2) * np.eye(3) - inertia_kg_m2
    second = second + mass_kg * np.outer(centre_m, centre_m)
    moments = np.concatenate(
        [
            [mass_kg],
            mass_kg * np.asarray(centre_m),
            np.diagonal(second),
            [second[0, 1], second[0, 2], second[1, 2]],
        ]
    )
    if not np.all(np.isfinite(moments)):
        raise OutsideRange("a body's mass, centre or inertia is not a finite number")
    return moments


def whole_mass(inputs: FlightInputs) -> MassParts:
    """Mass history as one body that burns, without rows of its own.

    Parameters
    ----------
    inputs : FlightInputs
        One flight.

    Returns
    -------
    masses : MassParts
        No rows; the whole vehicle as what the motor moves.

    Notes
    -----
    Exact: the campaign's nominal flight is that of the inputs. ``OutsideRange`` as ``moments_of_body``, for
    numbers that are not finite.

    References
    ----------
    .. [1] ``moments_of_body``.

    Examples
    --------
    >>> from finial.flight.example import example_inputs
    >>> whole_mass(example_inputs()).motor[[0, -1], 0].tolist()
    [8.35, 8.0]
    """
    mass = inputs.mass
    whole = [
        moments_of_body(float(one), centre, tensor)
        for one, centre, tensor in zip(mass.masses_kg, mass.centres_m, mass.inertias_kg_m2, strict=True)
    ]
    return MassParts(rows=np.empty((0, slots.MOMENTS)), motor_times_s=mass.times_s, motor=np.array(whole))


def shape_code(draw: Draw) -> float:
    """Return the kernel's number of a draw's shape.

    Parameters
    ----------
    draw : Draw
        One uncertain number.

    Returns
    -------
    code : float
        Number of the shape [-].

    Raises
    ------
    OutsideRange
        If the shape is none of the three, an end is no number or lies on the wrong side.

    Notes
    -----
    The ends of a bell are taken for two standard deviations; odds lie between 0 and 1.

    References
    ----------
    .. [1] ``kernel.spread_layout``; definition.

    Examples
    --------
    >>> from finial.flight.uncertain import Drawn
    >>> impulse = Uncertain(kind=Drawn.IMPULSE)
    >>> shape_code(Draw(number=impulse, slot=0, shape=BELL, base=1.0, below=0.05, above=0.05))
    1.0
    """
    if draw.shape not in _SHAPES:
        raise OutsideRange(f"{draw.name}: shape {draw.shape!r}; accepted are {', '.join(_SHAPES)}")
    if not (np.isfinite(draw.base) and 0.0 <= draw.below < np.inf and 0.0 <= draw.above < np.inf):
        raise OutsideRange(f"{draw.name}: {draw.base} less {draw.below}, plus {draw.above}: give finite ends")
    if draw.shape == ODDS and draw.above > 1.0:
        raise OutsideRange(f"{draw.name}: odds of {draw.above}; accepted are 0 to 1 (0.02, not 2)")
    return _SHAPES[draw.shape]
