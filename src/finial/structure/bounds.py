"""Refusing numbers that no formula of this package may see."""

import math

from finial.core.errors import OutsideRange


def need_finite(**numbers: float) -> None:
    """Refuse NaN and infinity, naming the argument.

    Parameters
    ----------
    **numbers : float
        Numbers by the names they have where they are given, in any unit.

    Raises
    ------
    OutsideRange
        If any number is not finite.
    """
    for name, number in numbers.items():
        if not math.isfinite(number):
            raise OutsideRange(f"{name} = {number}: a finite number is needed")


def need_positive(**numbers: float) -> None:
    """Refuse anything that is not a finite number above zero.

    Parameters
    ----------
    **numbers : float
        Numbers by the names they have where they are given, in any unit.

    Raises
    ------
    OutsideRange
        If any number is zero, negative, infinite or not a number.

    Examples
    --------
    >>> need_positive(wall_m=0.002)
    """
    for name, number in numbers.items():
        if not (math.isfinite(number) and number > 0.0):
            raise OutsideRange(f"{name} = {number}: a number above zero is needed")


def need_between(low: float, high: float, **numbers: float) -> None:
    """Refuse anything outside ``low`` to ``high``, both ends allowed.

    Parameters
    ----------
    low, high : float
        The ends, in the unit of the numbers.
    **numbers : float
        Numbers by the names they have where they are given.

    Raises
    ------
    OutsideRange
        If any number lies outside or is not a number.
    """
    for name, number in numbers.items():
        if not low <= number <= high:
            raise OutsideRange(f"{name} = {number}: accepted are {low} to {high}")
