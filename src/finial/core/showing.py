"""SI values and estimates shown in the builder's units, with sensible digits."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache

from finial.core.dimensions import Dimension, units_of
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate

INCH_M = 0.0254
"""International inch [m]; exact by definition (1959)."""
_MOST_DECIMALS = 9
"""Smaller numbers are the noise of the arithmetic."""
_OVER = "over "
_TELLS_NOTHING = 3.0
"""An interval from nothing to more than so many times the value says hardly more than the value."""
_NOTHING_BESIDE = 1e-3
"""A value this share of its interval is nothing in the unit of the ends, which is then shown."""


# From one question of the page to the next most numbers stay as they are.
@lru_cache(maxsize=4096)
def show(value_si: float, dimension: Dimension, us_units: bool = False) -> str:
    """Write an SI value in the builder's units, to three digits or to the whole unit.

    Examples
    --------
    >>> show(1.2054, Dimension.LENGTH), show(2.45, Dimension.MASS), show(293.15, Dimension.TEMPERATURE)
    ('1205 mm', '2.45 kg', '20 degC')
    >>> show(1.2054, Dimension.LENGTH, us_units=True)
    '47.5 in'
    """
    unit, number = _shown(value_si, dimension, us_units)
    return _with_unit(_trimmed([number], _decimals(number))[0], unit)


def show_lengths(values_m: Iterable[float], us_units: bool = False, between: str = " x ") -> str:
    """Write lengths that go together, such as the sides of a box, the unit once.

    Examples
    --------
    >>> show_lengths([0.25, 0.21]), show_lengths([0.0254, 0.0508], us_units=True, between=" to ")
    ('250 x 210 mm', '1.00 to 2.00 in')
    """
    scale, unit, digits = (1 / INCH_M, "in", 2) if us_units else (1e3, "mm", 0)
    return between.join(f"{value * scale:.{digits}f}" for value in values_m) + f" {unit}"


@lru_cache(maxsize=4096)
def show_estimate(
    estimate: Estimate, dimension: Dimension, us_units: bool = False, far: float = math.inf
) -> str:
    """Write an estimate with its interval, as many digits as the interval deserves.

    What lies beyond ``far`` [SI], either way, tells no more than that it does.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy
    >>> weighed = Estimate(value=0.412, low=0.41, high=0.414, known_by=KnownBy.WEIGHED)
    >>> show_estimate(weighed, Dimension.MASS)
    '412 g (410 to 414)'
    >>> loose = Estimate(value=98.0, low=0.01, high=515.0, known_by=KnownBy.ASSUMED)
    >>> show_estimate(loose, Dimension.RATIO)
    '98 (anything up to 515)'
    >>> wide = Estimate(value=0.026, low=-0.278, high=3.076, known_by=KnownBy.COMPUTED)
    >>> show_estimate(wide, Dimension.LENGTH, far=0.72)
    '26 mm (-278 to over 720)'
    """
    given = [estimate.value, estimate.low, estimate.high]
    value, low, high = given if far == math.inf else [min(max(end, -far), far) for end in given]
    if high - low <= 1e-6 * max(abs(value), 1e-12):
        return show(estimate.value, dimension, us_units)
    unit, _ = _shown(_sizing(value, low, high), dimension, us_units)
    value, low, high = _in_unit(value, unit), _in_unit(low, unit), _in_unit(high, unit)
    decimals = min(max(0, 1 - math.floor(math.log10((high - low) / 2))), _decimals(value) + 1)
    shown, low_end, high_end = _trimmed([value, low, high], decimals)
    beyond = [_beyond(end, far) for end in given]
    interval = _interval(shown, beyond[1] + low_end, beyond[2] + high_end)
    return f"{beyond[0]}{_with_unit(shown, unit)}{interval}"


def _beyond(value: float, far: float) -> str:
    return _OVER if value > far else "below " if value < -far else ""


def _sizing(value: float, low: float, high: float) -> float:
    """Return the number whose unit to show: the value, where the ends do not make it nothing."""
    widest = max(abs(low), abs(high))
    return widest if abs(value) < _NOTHING_BESIDE * widest else value


def _interval(value: str, low: str, high: str) -> str:
    """Write the ends; one that tells nothing is said in words."""
    if low == high:
        return ""
    if not low.strip("-0.") and float(high.removeprefix(_OVER)) > _TELLS_NOTHING * abs(float(value)):
        return f" (anything, {high} too)" if high.startswith(_OVER) else f" (anything up to {high})"
    return f" ({low} to {high})"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scale:
    """A unit to show values in from some size on [SI], its exact fractions as floats."""

    symbol: str
    shown_from: float
    factor: float
    offset: float


@cache
def _scales(dimension: Dimension, us_units: bool) -> tuple[_Scale, ...]:
    starts = [(unit.us_from if us_units else unit.metric_from, unit) for unit in units_of(dimension)]
    return tuple(
        _Scale(symbol=unit.symbol, shown_from=start, factor=float(unit.factor), offset=float(unit.offset))
        for start, unit in starts
        if start is not None
    )


def _shown(value_si: float, dimension: Dimension, us_units: bool) -> tuple[_Scale | None, float]:
    """Choose the unit to show a value in; return it and the number in that unit."""
    if not math.isfinite(value_si):
        raise OutsideRange(f"only finite numbers can be shown as {dimension.words}: got {value_si}")
    best, best_from, size = None, -1.0, abs(value_si) * (1 + 1e-9)
    for scale in _scales(dimension, us_units):
        if best_from < scale.shown_from <= size:
            best, best_from = scale, scale.shown_from
    return best, _in_unit(value_si, best)


def _in_unit(value_si: float, scale: _Scale | None) -> float:
    return value_si if scale is None else (value_si - scale.offset) / scale.factor


def _with_unit(number: str, scale: _Scale | None) -> str:
    return number if scale is None else f"{number} {scale.symbol}"


def _decimals(number: float) -> int:
    """Decimals that leave three significant digits, none for whole numbers of more."""
    size = abs(number)
    return min(max(0, 2 - math.floor(math.log10(size))), _MOST_DECIMALS) if size > 0 else 0


def _trimmed(numbers: list[float], decimals: int) -> list[str]:
    """Numbers with equal decimals, as few as say the same."""
    shown: list[str] = [f"{number:.{decimals}f}" for number in numbers]
    while decimals and all([text.endswith("0") for text in shown]):
        decimals -= 1
        shown = [text[:-1].removesuffix(".") for text in shown]
    return [text.removeprefix("-") if float(text) == 0 else text for text in shown]
