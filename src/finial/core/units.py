"""Quantities as builders write them: ``412 g +- 2 g``, ``7 ft 10.5 in``, ``22 degC``.

Read into SI with :func:`parse_quantity`, shown again with :func:`show` and
:func:`show_estimate`. Temperatures are kelvin inside, their tolerances differences.
"""

import itertools
import math
import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from finial.core.dimensions import Dimension, Unit, dimension_spelled, find_unit, likely_unit, units_of
from finial.core.errors import UnitError
from finial.core.estimates import Estimate, KnownBy
from finial.core.showing import show, show_estimate
from finial.core.visible import visible

__all__ = ["Dimension", "Quantity", "in_unit_of", "parse_quantity", "show", "show_estimate", "wanted"]

_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_TERM = re.compile(rf"\s*({_NUMBER})\s*((?:(?!\s[+-]?\.?\d)[^±])*)")
_Bounds = tuple[float | None, float | None, float | None]
LONGEST_TEXT = 100
"""Characters of a quantity; more is no quantity, and would take long to find out."""
_LARGEST_POWER = 60
"""Of ten, in a number as written; exact fractions of larger ones would fill the memory."""
_GIVE_OR_TAKE = re.compile(r"\+/?-|±")
_COMMA = re.compile(r"\d,\d")
_RANGE = re.compile(rf"({_NUMBER})\s*(\D*?)\s*(?:to|-|–)\s*({_NUMBER})\s*(.+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number read from a sheet, in SI, give or take ``tolerance``; ``text`` is what was written."""

    value: float
    tolerance: float = 0.0
    text: str = ""

    @property
    def low(self) -> float:
        """Value less its tolerance [SI]."""
        return self.value - self.tolerance

    @property
    def high(self) -> float:
        """Value and its tolerance [SI]."""
        return self.value + self.tolerance

    def estimate(self, known_by: KnownBy, *, method: str = "", source: str = "") -> Estimate:
        """Value and tolerance as an interval of that pedigree.

        Examples
        --------
        >>> parse_quantity("412 g +- 2 g", Dimension.MASS).estimate(KnownBy.WEIGHED).low
        0.41
        """
        return Estimate(
            value=self.value,
            low=self.low,
            high=self.high,
            known_by=known_by,
            method=method,
            source=source,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Term:
    """One number and its unit; ``unit`` is ``None`` for a plain number."""

    number: Fraction
    unit: Unit | None


def parse_quantity(
    text: object,
    dimension: Dimension,
    *,
    minimum: float | None = None,
    above: float | None = None,
    maximum: float | None = None,
) -> Quantity:
    """Read a quantity of one dimension into SI.

    Parameters
    ----------
    text : str
        Number and unit, sums such as ``7 ft 10.5 in``, and ``+- tolerance``. A ratio
        may be a plain number, also one that is not a string.
    dimension : Dimension
        What is wanted.
    minimum, above, maximum : float, optional
        Smallest, next smaller and largest value taken, in SI.

    Raises
    ------
    UnitError
        If it cannot be read, is of another dimension, is not finite or out of bounds.

    Examples
    --------
    >>> parse_quantity("7 ft 10.5 in", Dimension.LENGTH).value
    2.4003
    >>> parse_quantity("100 +- 2 mm", Dimension.LENGTH).tolerance
    0.002
    """
    if isinstance(text, str):
        return _read(text, dimension, (minimum, above, maximum))
    return _understood(text, dimension, (minimum, above, maximum))


# A sheet is read anew for every change that is tried, and most of its texts are those of before.
@lru_cache(maxsize=4096)
def _read(text: str, dimension: Dimension, bounds: _Bounds) -> Quantity:
    return _understood(text, dimension, bounds)


def _understood(text: object, dimension: Dimension, bounds: _Bounds) -> Quantity:
    written = _as_text(text, dimension)
    halves = _GIVE_OR_TAKE.split(written)
    if len(halves) > 2:
        raise _refusal(written, dimension, "more than one tolerance")
    if _COMMA.search(written):
        raise _refusal(written, dimension, "decimals are written with a point, thousands without a mark")
    if len(halves) == 1:
        _refuse_span(written, dimension)
    value_terms = _terms(halves[0], dimension, written)
    spread_terms = _terms(halves[1], dimension, written) if len(halves) == 2 else ()
    if spread_terms and value_terms[-1].unit is None and dimension is not Dimension.RATIO:
        value_terms = (_Term(number=value_terms[0].number, unit=spread_terms[-1].unit),)
    exact = _sum_si(value_terms, dimension, written)
    value = float(exact)
    tolerance = float(_tolerance_si(spread_terms, value_terms, exact, dimension, written))
    _check_bounds(value, dimension, written, bounds)
    return Quantity(value=value, tolerance=tolerance, text=written)


def wanted(dimension: Dimension) -> str:
    """Say what is accepted where a quantity of this dimension stands.

    Examples
    --------
    >>> wanted(Dimension.VOLTAGE)
    'a voltage with its unit, such as "12 V" (units: V, mV)'
    """
    if dimension is Dimension.RATIO:
        return 'a ratio: a plain number or per cent, such as 0.12 or "12 %"'
    units = ", ".join(unit.symbol for unit in units_of(dimension))
    return f'{dimension.words} with its unit, such as "12 {_example(dimension)}" (units: {units})'


def in_unit_of(text: str, other: str, dimension: Dimension) -> str:
    """Write a quantity in the unit that another one ends in, to six figures; in that unit already, it stays.

    Parameters
    ----------
    text : str
        A quantity, also with its tolerance.
    other : str
        One of the same dimension, whose unit is taken.
    dimension : Dimension
        That of both.

    Returns
    -------
    text : str
        The same quantity in the other's unit.

    Raises
    ------
    UnitError
        If one of the two cannot be read.

    Examples
    --------
    >>> in_unit_of("484.4 g +- 15.6 g", "16 oz", Dimension.MASS)
    '17.0867 oz +- 0.550274 oz'
    >>> in_unit_of("1.2 m", "7 ft 10.5 in", Dimension.LENGTH), in_unit_of("5 mm", "3 mm", Dimension.LENGTH)
    ('47.2441 in', '5 mm')
    """
    unit = _last_unit(other, dimension)
    if unit is None or unit is _last_unit(text, dimension):
        return text
    quantity = parse_quantity(text, dimension)
    number = _figures((quantity.value - float(unit.offset)) / float(unit.factor))
    tolerance = _figures(quantity.tolerance / float(unit.factor))
    return f"{number} {unit.symbol}" + (f" +- {tolerance} {unit.symbol}" if quantity.tolerance else "")


def _last_unit(text: str, dimension: Dimension) -> Unit | None:
    """Return the unit that a quantity ends in; that of its tolerance where it has none itself."""
    for half in _GIVE_OR_TAKE.split(text):
        units = [term.unit for term in _terms(half, dimension, text)]
        if units and units[-1] and units[-1].dimension is dimension:
            return units[-1]
    return None


def _figures(number: float) -> str:
    """Write a number to six figures without an exponent."""
    return format(Decimal(f"{number:.6g}"), "f")


def _as_text(text: object, dimension: Dimension) -> str:
    if isinstance(text, str):
        if len(text) > LONGEST_TEXT:
            slip = f"{len(text)} characters: a quantity has {LONGEST_TEXT} at most"
            raise _refusal(visible(text, LONGEST_TEXT), dimension, slip)
        return " ".join(text.split())
    is_number = isinstance(text, int | float) and not isinstance(text, bool)
    if is_number and dimension is Dimension.RATIO:
        return repr(text)
    hint = _without_unit(repr(text), dimension) if is_number else ""
    raise UnitError(given=repr(text), accepted=wanted(dimension), likely_slip=hint)


def _refuse_span(written: str, dimension: Dimension) -> None:
    """Refuse ``1.5 to 2 mm`` and say how its middle and half width are written."""
    span = _RANGE.fullmatch(written)
    if span and find_unit(span[4], dimension) and (not span[2] or find_unit(span[2], dimension)):
        low, high = float(span[1]), float(span[3])
        middle, half = (low + high) / 2, abs(high - low) / 2
        raise _refusal(written, dimension, f'a span is written "{middle:g} {span[4]} +- {half:g} {span[4]}"')


def _terms(text: str, dimension: Dimension, written: str) -> tuple[_Term, ...]:
    found: list[_Term] = []
    position = 0
    while position < len(text.rstrip()):
        match = _TERM.match(text, position)
        if match is None or match.end() == position:
            raise _refusal(written, dimension, _slip_in_text(written, dimension))
        found.append(_term(match[1], match[2].strip(), dimension, written))
        position = match.end()
    if not found:
        raise _refusal(written, dimension, _slip_in_text(written, dimension))
    return tuple(found)


def _term(digits: str, spelling: str, dimension: Dimension, written: str) -> _Term:
    if not math.isfinite(float(digits)):
        raise _refusal(written, dimension, "too large to be a number")
    power = digits.casefold().partition("e")[2]
    if power and abs(int(power)) > _LARGEST_POWER:
        raise _refusal(written, dimension, f"a power of ten beyond {_LARGEST_POWER} is no quantity")
    number = Fraction(digits)
    if not spelling:
        return _Term(number=number, unit=None)
    unit = find_unit(spelling, dimension) or find_unit(spelling, Dimension.RATIO)
    if unit is None:
        raise _wrong_unit(spelling, dimension, written)
    return _Term(number=number, unit=unit)


def _sum_si(terms: tuple[_Term, ...], dimension: Dimension, written: str) -> Fraction:
    """Add the terms; each must be in a smaller unit than the one before."""
    for before, term in itertools.pairwise(terms):
        falling = before.unit and term.unit and term.unit.factor < before.unit.factor
        if not falling or term.number < 0 or dimension is Dimension.TEMPERATURE:
            raise _refusal(written, dimension, "more than one number: only sums like 7 ft 10.5 in are read")
    first = _term_si(terms[0], dimension, written)
    rest = sum((_term_si(term, dimension, written) for term in terms[1:]), Fraction())
    return first - rest if terms[0].number < 0 else first + rest


def _term_si(term: _Term, dimension: Dimension, written: str, *, difference: bool = False) -> Fraction:
    if term.unit is None:
        if dimension is Dimension.RATIO:
            return term.number
        raise _refusal(written, dimension, _without_unit(f"{float(term.number):g}", dimension))
    if term.unit.dimension is not dimension:
        raise _wrong_unit(term.unit.symbol, dimension, written)
    return term.number * term.unit.factor + (0 if difference else term.unit.offset)


def _tolerance_si(
    terms: tuple[_Term, ...],
    value_terms: tuple[_Term, ...],
    value: Fraction,
    dimension: Dimension,
    written: str,
) -> Fraction:
    if not terms:
        return Fraction()
    term, *more = terms
    if more:
        raise _refusal(written, dimension, "the tolerance is one number with one unit")
    is_share = term.unit is not None and term.unit.dimension is Dimension.RATIO
    if term.number < 0:
        raise _refusal(written, dimension, "a tolerance is not negative")
    if dimension is Dimension.RATIO and term.unit is not value_terms[-1].unit:
        raise _refusal(written, dimension, 'write both the same way: "75 % +- 8 %" or "0.75 +- 0.08"')
    if is_share and dimension is not Dimension.RATIO:
        if dimension is Dimension.TEMPERATURE:
            raise _refusal(written, dimension, "a tolerance in per cent means nothing for a temperature")
        return abs(value) * term.number / 100
    if term.unit is None and dimension is not Dimension.RATIO:
        symbol = value_terms[-1].unit.symbol if value_terms[-1].unit else _example(dimension)
        raise _refusal(
            written, dimension, f'give the tolerance its unit: "+- {float(term.number):g} {symbol}"'
        )
    return _term_si(term, dimension, written, difference=True)


def _check_bounds(value: float, dimension: Dimension, written: str, bounds: _Bounds) -> None:
    minimum, above, maximum = bounds
    limit = ""
    if minimum is not None and value < minimum:
        limit = "not negative" if minimum == 0 else f"at least {show(minimum, dimension)}"
    elif above is not None and value <= above:
        limit = "above zero" if above == 0 else f"above {show(above, dimension)}"
    elif maximum is not None and value > maximum:
        limit = f"at most {show(maximum, dimension)}"
    elif dimension is Dimension.TEMPERATURE and value < 0:
        limit = "above absolute zero"
    if limit:
        share = dimension is Dimension.RATIO and "%" not in written and 1.0 < value <= 100.0
        slip = f'write "{written} %" for per cent' if share else ""
        raise UnitError(given=f'"{written}"', accepted=f"{dimension.words} that is {limit}", likely_slip=slip)


def _wrong_unit(spelling: str, dimension: Dimension, written: str) -> UnitError:
    meant = likely_unit(spelling, dimension)
    other = dimension_spelled(spelling)
    slips = [f"'{spelling}' is {other.words}, {dimension.words} is wanted" if other else ""]
    if meant is not None:
        slips.append(f"did you mean '{meant.symbol}'?")
    elif other is None:
        slips.append(f"'{spelling}' is not a unit known here")
    return _refusal(written, dimension, "; ".join(filter(None, slips)))


def _refusal(given: str, dimension: Dimension, likely_slip: str = "") -> UnitError:
    return UnitError(given=f'"{given}"', accepted=wanted(dimension), likely_slip=likely_slip)


def _without_unit(number: str, dimension: Dimension) -> str:
    unit = _example(dimension)
    return f'a number without unit: write "{number} {unit}" if it is in {unit}'


_COMPASS = (
    "n",
    "nne",
    "ne",
    "ene",
    "e",
    "ese",
    "se",
    "sse",
    "s",
    "ssw",
    "sw",
    "wsw",
    "w",
    "wnw",
    "nw",
    "nnw",
)
_UNKNOWN = frozenset({"unknown", "variable", "any", "?", "not known"})


def _slip_in_text(written: str, dimension: Dimension) -> str:
    plain = written.strip().casefold()
    if dimension is Dimension.ANGLE and plain in _COMPASS:
        return f'a bearing in degrees, clockwise from north: "{22.5 * _COMPASS.index(plain):g} deg +- 12 deg"'
    if dimension is Dimension.ANGLE and plain in _UNKNOWN:
        return 'a bearing that nobody knows is any: "180 deg +- 180 deg"'
    if not written.strip():
        return "nothing is written here"
    if written.lstrip("+- ").casefold().startswith(("nan", "inf")):
        return "not a finite number"
    return "start with a number"


def _example(dimension: Dimension) -> str:
    return units_of(dimension)[0].symbol
