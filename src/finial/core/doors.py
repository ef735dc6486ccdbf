"""Refuse bad numbers where they enter: not a number, infinite, or of the wrong sign."""

import math

from finial.core.errors import OutsideRange


def require_positive(**numbers: float) -> None:
    """Refuse anything that is not a finite number above zero.

    Raises
    ------
    OutsideRange
        Naming the argument, the value given and what is accepted.

    Examples
    --------
    >>> require_positive(mass_kg=1.5)
    """
    for name, value in numbers.items():
        if not 0.0 < value < math.inf:
            raise OutsideRange(f"{name} = {value}: give a finite number above 0")


def require_not_negative(**numbers: float) -> None:
    """Refuse anything that is not a finite number of zero or more.

    Raises
    ------
    OutsideRange
        Naming the argument, the value given and what is accepted.

    Examples
    --------
    >>> require_not_negative(friction_n=0.0)
    """
    for name, value in numbers.items():
        if not 0.0 <= value < math.inf:
            raise OutsideRange(f"{name} = {value}: give a finite number of 0 or more")


def require_fraction(**numbers: float) -> None:
    """Refuse anything that does not lie strictly between 0 and 1.

    Raises
    ------
    OutsideRange
        Naming the argument, the value given and the likely slip, a percentage.

    Examples
    --------
    >>> require_fraction(confidence=0.95)
    """
    for name, value in numbers.items():
        if not 0 < value < 1:
            raise OutsideRange(f"{name} = {value}: give a fraction between 0 and 1 (0.95, not 95)")
