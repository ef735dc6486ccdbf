"""What a motor's data sheet claims, against its own thrust curve."""

from dataclasses import dataclass

from finial.core.errors import OutsideRange
from finial.motors.curve import average_thrust, burn_window, letter_class, total_impulse
from finial.motors.motor import Motor

IMPULSE_SHARE, THRUST_SHARE, TIME_SHARE = 0.05, 0.10, 0.10
"""How far the curve may differ from the claim [-]; common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claims:
    """What is claimed; ``None`` where nothing is."""

    impulse_n_s: float | None = None
    average_thrust_n: float | None = None
    burn_time_s: float | None = None
    letter: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimCheck:
    """One claim beside what the curve says."""

    what: str
    claimed: float | str
    found: float | str
    agrees: bool


def claim_checks(motor: Motor, claims: Claims) -> tuple[ClaimCheck, ...]:
    """Hold every claim against the thrust curve.

    Parameters
    ----------
    motor : Motor
        Thrust curve, straight between its points.
    claims : Claims
        Impulse [N s], average thrust [N], burn time [s], letter.

    Returns
    -------
    checks : tuple of ClaimCheck
        One for each claim made; a letter agrees if the curve's impulse or one within 5 % of it has it.

    Raises
    ------
    OutsideRange
        If the curve is not a thrust curve, or a claimed number is not above 0.

    Notes
    -----
    Burn time between the points at 5 % of the peak; makers who count to another threshold differ
    by some per cent.

    References
    ----------
    .. [1] NFPA 1125, Code for the Manufacture of Model Rocket and High Power Rocket Motors; from
       memory, not re-read. Bands: common practice.

    Examples
    --------
    >>> from finial.motors.curve import _example
    >>> [one.agrees for one in claim_checks(_example(), Claims(impulse_n_s=690.0, letter="K"))]
    [True, False]
    """
    start, end = burn_window(motor)
    impulse = total_impulse(motor)
    numbers = (
        ("impulse, N s", claims.impulse_n_s, impulse, IMPULSE_SHARE),
        ("average thrust, N", claims.average_thrust_n, average_thrust(motor), THRUST_SHARE),
        ("burn time, s", claims.burn_time_s, end - start, TIME_SHARE),
    )
    checks = [
        ClaimCheck(what=what, claimed=claimed, found=found, agrees=_near(what, claimed, found, share))
        for what, claimed, found, share in numbers
        if claimed is not None
    ]
    if claims.letter is not None:
        ends = {letter_class(impulse * factor) for factor in (1.0 - IMPULSE_SHARE, 1.0, 1.0 + IMPULSE_SHARE)}
        letter = claims.letter.strip().upper()
        checks.append(
            ClaimCheck(what="letter", claimed=letter, found=letter_class(impulse), agrees=letter in ends)
        )
    return tuple(checks)


def _near(what: str, claimed: float, found: float, share: float) -> bool:
    if not claimed > 0.0:
        raise OutsideRange(f"{what}: {claimed} claimed; accepted is above 0")
    return abs(found / claimed - 1.0) <= share
