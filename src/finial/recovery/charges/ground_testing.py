"""What a ground test of a charge changes in the numbers."""

from dataclasses import dataclass, replace

from finial.core.doors import require_not_negative, require_positive
from finial.core.estimates import Estimate, KnownBy
from finial.recovery.charges.burst import Burst, burst

SPEED_SCATTER = 0.2
"""Scatter of the parting speed between shots of one charge [-]; assumed."""
_LEAST_SHARE, _MOST_SHARE = 0.05, 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundTest:
    """One shot on the ground."""

    powder_kg: float
    parted: bool
    speed_m_s: float | None = None
    """Speed of parting from a video [m/s]; ``None`` if nobody measured it."""


def powder_share_seen(case: Burst, test: GroundTest) -> Estimate:
    r"""Share of the model's powder that did the work in a test.

    .. math::  v(\eta \, m_{test}) = v_{test}

    Parameters
    ----------
    case : Burst
        Bay, joint and masses as they stood in the test.
    test : GroundTest
        Powder [kg] and the speed that was measured [m/s].

    Returns
    -------
    Estimate
        Share :math:`\eta` [-], with a fifth of scatter in speed.

    Raises
    ------
    OutsideRange
        If the powder or the speed is not positive.

    Notes
    -----
    One shot. It holds for the same bay, pack, fit and igniter; the model's share is looked
    for between 0.05 and 3, and an end reached means that test and model do not speak of the
    same thing.

    References
    ----------
    .. [1] The model run backwards.

    Examples
    --------
    >>> case = Burst(powder_kg=0.001, volume_m3=0.0015, diameter_m=0.08, stroke_m=0.05, moved_kg=1.5)
    >>> speed = burst(replace(case, powder_kg=0.0008)).end_speed_m_s
    >>> round(powder_share_seen(case, GroundTest(powder_kg=0.001, parted=True, speed_m_s=speed)).value, 2)
    0.8
    """
    require_positive(powder_kg=test.powder_kg, speed_m_s=test.speed_m_s or 0.0)
    assert test.speed_m_s is not None
    low, value, high = (
        _share(case, test, test.speed_m_s * factor) for factor in (1 - SPEED_SCATTER, 1.0, 1 + SPEED_SCATTER)
    )
    return Estimate(
        value=value,
        low=low,
        high=high,
        known_by=KnownBy.MEASURED,
        method="ground test: powder that the model needs for the speed seen",
        source="the builder's ground test",
    )


def resistance_seen(resistance_n: Estimate, force_n: Estimate, *, parted: bool) -> Estimate:
    """Narrow what the joint holds, after a shot that did or did not open it.

    Parameters
    ----------
    resistance_n : Estimate
        Pins and friction as computed [N].
    force_n : Estimate
        Force of the charge fired in the test [N].
    parted : bool
        Whether the joint opened.

    Returns
    -------
    Estimate
        Force the joint holds [N]: opened, at most the test's high force; shut, at least its low.

    Raises
    ------
    OutsideRange
        If a force is negative.

    Notes
    -----
    A joint that stayed shut teaches more than one that opened. The same pins, fit and pack.

    References
    ----------
    .. [1] Comparison of two intervals.

    Examples
    --------
    >>> from finial.core.estimates import exact, spread
    >>> wide = spread(200.0, 0.5, known_by=KnownBy.HANDBOOK)
    >>> resistance_seen(wide, exact(180.0), parted=True).high
    180.0
    >>> resistance_seen(wide, exact(250.0), parted=False).low
    250.0
    """
    require_not_negative(resistance_n=resistance_n.low, force_n=force_n.low)
    low, high = resistance_n.low, resistance_n.high
    if parted:
        high = max(min(high, force_n.high), low)
    else:
        low = max(low, force_n.low)
        high = max(high, low)
    return replace(
        resistance_n,
        value=min(max(resistance_n.value, low), high),
        low=low,
        high=high,
        known_by=KnownBy.MEASURED,
        method=f"{resistance_n.method}, and a ground test that {'opened it' if parted else 'left it shut'}",
    )


def _share(case: Burst, test: GroundTest, speed_m_s: float) -> float:
    """Bisect for the share; the speed rises with the powder."""
    low, high = _LEAST_SHARE, _MOST_SHARE
    for _ in range(16):
        middle = (low + high) / 2
        if burst(replace(case, powder_kg=middle * test.powder_kg)).end_speed_m_s < speed_m_s:
            low = middle
        else:
            high = middle
    return (low + high) / 2
