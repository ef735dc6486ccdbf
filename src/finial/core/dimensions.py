"""Kinds of quantity a build sheet speaks of, and the units each may be written in."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum, auto
from fractions import Fraction
from functools import cache
from unicodedata import normalize

from finial.core.tables import table_rows

_SPELLING = str.maketrans({"°": "deg", "μ": "u", "Ω": "ohm", "·": " "})


class Dimension(StrEnum):
    """What is measured. ``RATIO`` takes plain numbers and per cent."""

    LENGTH = auto()
    AREA = auto()
    VOLUME = auto()
    MASS = auto()
    TIME = auto()
    SPEED = auto()
    WIND_SPEED = auto()
    """Speed of the wind, which fields tell in miles an hour where they use miles."""
    ANGLE = auto()
    TEMPERATURE = auto()
    TEMPERATURE_STEP = auto()
    """How much warmer or cooler: no zero of a scale in it."""
    PRESSURE = auto()
    FORCE = auto()
    ENERGY = auto()
    IMPULSE = auto()
    DENSITY = auto()
    MASS_PER_LENGTH = auto()
    VOLTAGE = auto()
    CURRENT = auto()
    RESISTANCE = auto()
    CHARGE = auto()
    ACCELERATION = auto()
    TURN_RATE = auto()
    STIFFNESS = auto()
    RATIO = auto()

    @property
    def words(self) -> str:
        """The dimension with its article, such as ``an area``."""
        plain = self.value.replace("_", " ")
        return f"{'an' if plain[0] in 'aei' else 'a'} {plain}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit: SI value = number * ``factor`` + ``offset``, exact fractions so that 412 g is 0.412 kg."""

    symbol: str
    dimension: Dimension
    factor: Fraction
    offset: Fraction
    metric_from: float | None
    us_from: float | None
    spellings: tuple[str, ...]
    slips: tuple[str, ...]


@cache
def units_of(dimension: Dimension) -> tuple[Unit, ...]:
    """Return every unit of a dimension; the first is the one to show as an example."""
    return tuple(unit for unit in _all_units() if unit.dimension is dimension)


def find_unit(spelling: str, dimension: Dimension) -> Unit | None:
    """Return the unit of this dimension that is spelled so, letter case mattering.

    Examples
    --------
    >>> find_unit("mm²", Dimension.AREA).symbol
    'mm2'
    >>> find_unit("MM", Dimension.LENGTH) is None
    True
    """
    plain = plain_spelling(spelling)
    return next((unit for unit in units_of(dimension) if plain in unit.spellings), None)


def dimension_spelled(spelling: str) -> Dimension | None:
    """Return the dimension of a unit wherever in the table it stands."""
    plain = plain_spelling(spelling)
    return next((unit.dimension for unit in _all_units() if plain in unit.spellings), None)


def likely_unit(spelling: str, dimension: Dimension) -> Unit | None:
    """Return the unit the builder probably meant by a spelling that is not accepted."""
    plain = plain_spelling(spelling)
    units = units_of(dimension)
    for unit in units:
        if plain in unit.slips:
            return unit
    by_name = {name.casefold(): unit for unit in reversed(units) for name in unit.spellings}
    close = get_close_matches(plain.casefold(), by_name, n=1, cutoff=0.6)
    return by_name[close[0]] if close else None


def plain_spelling(spelling: str) -> str:
    """Reduce raised digits, degree signs, dots and doubled blanks to plain letters.

    Examples
    --------
    >>> plain_spelling("N·m"), plain_spelling("°C"), plain_spelling("cm^2")
    ('N m', 'degC', 'cm2')
    """
    one_form = normalize("NFKC", spelling).translate(_SPELLING)
    plain = re.sub(r"\^|\*\*", "", one_form).replace("*", " ")
    return " ".join(plain.split())


@cache
def _all_units() -> tuple[Unit, ...]:
    return tuple(_read_units())


def _read_units() -> Iterator[Unit]:
    for row in table_rows("finial.core", "units.csv"):
        yield Unit(
            symbol=row["symbol"],
            dimension=Dimension(row["dimension"]),
            factor=_exact(row["factor"]),
            offset=_exact(row["offset"]),
            metric_from=float(row["metric_from"]) if row["metric_from"] else None,
            us_from=float(row["us_from"]) if row["us_from"] else None,
            spellings=(row["symbol"], *filter(None, row["also"].split(";"))),
            slips=tuple(filter(None, row["slips"].split(";"))),
        )


def _exact(text: str) -> Fraction:
    """Read ``0.0254``, ``5/9`` or ``0.45359237/0.3048`` without rounding."""
    above, _, below = text.partition("/")
    return Fraction(above) / Fraction(below or "1")
