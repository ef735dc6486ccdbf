"""Reserve factors: strength over load, each with its interval, and which way to fail they are of."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from finial.core.dimensions import Dimension
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate
from finial.structure.loads.case import Case

MOST = 1000.0
"""Reserves above this say no more than "hardly loaded" and are cut here."""


class FailureMode(StrEnum):
    """A way to fail; the value is its key, the same in every version."""

    WALL_CRUSHED = "wall-crushed"
    WALL_WRINKLES = "wall-wrinkles"
    WALL_COLLAPSES = "wall-collapses"
    WALL_PULLED = "wall-pulled-apart"
    WALL_SHEARED = "wall-sheared"
    WALL_PRESSED = "wall-pressed"
    JOINT_OPENS = "joint-opens"
    JOINT_UNHELD = "joint-unheld"
    ROD_PULLED = "rod-pulled"
    ROD_BUCKLES = "rod-buckles"
    ROD_STRIPS = "rod-strips"
    ROD_LOOSE = "rod-loose"
    ROD_ENDS_NOWHERE = "rod-ends-nowhere"
    ROD_END_UNSAID = "rod-end-unsaid"
    WASHER_SINKS = "washer-sinks"
    NUT_SINKS = "nut-sinks"
    NUT_PULLS_THROUGH = "nut-pulls-through"
    DOWELS_SHEAR = "dowels-shear"
    THRUST_UNSAID = "thrust-unsaid"
    THRUST_PLATE_BREAKS = "thrust-plate-breaks"
    MOTOR_TUBE_LETS_GO = "motor-tube-lets-go"
    MOTOR_LEAVES = "motor-leaves"
    BAY_BURSTS = "bay-bursts"
    PLATE_BREAKS = "plate-breaks"
    PLATE_LETS_GO = "plate-lets-go"
    EYE_UNSAID = "eye-unsaid"
    EYE_BREAKS = "eye-breaks"
    EYE_SINKS = "eye-sinks"
    EYE_PULLS_THROUGH = "eye-pulls-through"
    FIN_BREAKS = "fin-breaks"
    FIN_FLUTTERS = "fin-flutters"
    """By the screen of 1958."""
    FIN_FLUTTERS_BY_MODES = "fin-flutters-by-modes"
    FIN_ROOT_LETS_GO = "fin-root-lets-go"
    STAY_SLACKENS = "stay-slackens"
    STAY_BREAKS = "stay-breaks"
    STAY_BOWS_FIN = "stay-bows-fin"
    STAY_ANCHOR_LETS_GO = "stay-anchor-lets-go"
    STAY_CROSSES_BODY = "stay-crosses-body"
    PRINT_TOO_THIN = "print-too-thin"


class Because(StrEnum):
    """Why a reserve is what it is, or is not known."""

    NOTHING_HOLDS = "nothing-holds"
    LAYERS_UNKNOWN = "layers-unknown"
    PRINT_UNSAID = "print-unsaid"
    FLAT_BAY = "flat-bay"
    BAY_SWELLS = "bay-swells"
    BAY_UNSAID = "bay-unsaid"
    SCREEN_ONLY = "screen-only"
    STAYS_UNSEEN = "stays-unseen"
    MATERIAL_UNSAID = "material-unsaid"
    SWINGS = "swings"
    TWISTS_AWAY = "twists-away"
    NO_GROWTH = "no-growth"
    ALL_ALIKE = "all-alike"
    PLAY = "play"
    NO_PART_THERE = "no-part-there"
    SHIFTS = "shifts"
    ANCHOR_UNSAID = "anchor-unsaid"
    RETAINER_UNSAID = "retainer-unsaid"
    RETAINER_SOFTENS = "retainer-softens"
    NOZZLE = "nozzle"
    SAGS = "sags"
    PLATE_UNSAID = "plate-unsaid"
    RIM_UNSAID = "rim-unsaid"
    TIE_UNSAID = "tie-unsaid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserve:
    """One way to fail at one place: what loads it, what it bears, and the reserve."""

    mode: FailureMode
    station_m: float
    dimension: Dimension
    """Of load and strength."""
    load: Estimate | None = None
    strength: Estimate | None = None
    reserve: Estimate | None = None
    """``None`` when nothing loads it, or when it is not known."""
    subject: str = ""
    """What it is about, by its name in the sheet; empty for the body's walls."""
    case: Case | None = None
    """What loads it; ``None`` where the case does not matter."""
    rod_share: float | None = None
    """Share of an axial load that the rods carry here [-]."""
    because: Because | None = None
    numbers: Mapping[str, float] = field(default_factory=dict[str, float])
    """What the words of ``because`` need [SI], by name."""
    warmth_left: float = 1.0
    """Share of the strength's low end that warmth leaves [-]."""


def reserve_factor(strength: Estimate, load: Estimate) -> Estimate | None:
    r"""Strength over load, judged at the bad end.

    .. math::  R = S / F, \qquad R_{low} = S_{low} / F_{high}, \quad R_{high} = S_{high} / F_{low}

    Parameters
    ----------
    strength, load : Estimate
        In one and the same unit, such as [N] or [Pa]; a load at or below zero does not load.

    Returns
    -------
    reserve : Estimate or None
        Reserve factor [-], at most 1000; 1 just holds. ``None`` if no part of the load is above zero.

    Raises
    ------
    OutsideRange
        If the strength can be below zero.

    Notes
    -----
    Range: any. Known as well as the weaker of the two.

    References
    ----------
    .. [1] Definition; interval division.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy, exact, spread
    >>> reserve = reserve_factor(spread(30.0, 0.2, known_by=KnownBy.HANDBOOK), exact(12.0))
    >>> reserve.value, reserve.low
    (2.5, 2.0)
    """
    if strength.low < 0.0:
        raise OutsideRange(f"strength reaches down to {strength.low}: a strength is zero or more")
    if load.high <= 0.0:
        return None
    return Estimate(
        value=_capped(strength.value, load.value),
        low=_capped(strength.low, load.high),
        high=_capped(strength.high, load.low),
        known_by=max(strength.known_by, load.known_by),
        method="strength over load",
        source="; ".join(dict.fromkeys(filter(None, (strength.source, load.source)))),
        inside_range=strength.inside_range and load.inside_range,
    )


def _capped(strength: float, load: float) -> float:
    return MOST if load <= strength / MOST else strength / load


def badness(entry: Reserve) -> float:
    """Sort key, worst first: what nobody knows comes before all.

    Parameters
    ----------
    entry : Reserve
        With its reserve factor [-], or without one.

    Returns
    -------
    key : float
        Low end of the reserve factor [-]; minus infinity without one.

    Notes
    -----
    Any reserve.

    References
    ----------
    .. [1] Definition.

    Examples
    --------
    >>> badness(Reserve(mode=FailureMode.ROD_LOOSE, station_m=0.0, dimension=Dimension.FORCE))
    -inf
    """
    return float("-inf") if entry.reserve is None else entry.reserve.low
