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
