"""Numbers in the builder's units, with interval and pedigree."""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.showing import INCH_M, show, show_estimate, show_lengths

NOT_KNOWN = "not known"
FOOT_M = 0.3048
"""International foot [m]; exact by definition (1959)."""
MILE_AN_HOUR_M_S = 0.44704
"""International mile an hour [m/s]; exact by definition (1959)."""
POUND_KG = 0.45359237
"""International pound [kg]; exact by definition (1959)."""
_LEAST_INERTIA_KG_M2 = 1e-7


_NOTED = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)(?:( to | x )(\d+(?:\.\d+)?))? mm\b")
"""One or two lengths in millimetres."""
PLENTY = 100.0
"""A factor above this says no more than that there is plenty."""


def factor(estimate: Estimate | None) -> str:
    """Say a factor and its interval, ends that tell nothing in words.

    Examples
    --------
    >>> from finial.core.estimates import KnownBy
    >>> factor(Estimate(value=8.26, low=0.091, high=1000.0, known_by=KnownBy.ASSUMED))
    '8.26 (0.09 to over 100)'
    """
    if estimate is None:
        return NOT_KNOWN
    if estimate.low >= PLENTY:
        return f"over {PLENTY:.0f}"
    if estimate.low == estimate.high:
        return f"{estimate.value:.2f}"
    return f"{_short(estimate.value)} ({_short(estimate.low)} to {_short(estimate.high)})"


def _short(value: float) -> str:
    return f"over {PLENTY:.0f}" if value >= PLENTY else f"{value:.0f}" if value >= 10 else f"{value:.2f}"


def _noted_in_inches(lengths: re.Match[str]) -> str:
    """Write lengths in inches as finely as they stand there in millimetres."""
    first, between, second = lengths.groups()
    said = [_in_inches(number) for number in (first, second) if number]
    return f"{(between or '').join(said)} in"


def _in_inches(number_mm: str) -> str:
    return f"{float(number_mm) / (1e3 * INCH_M):.{2 + len(number_mm.partition('.')[2])}f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """Writes numbers in metric or US units."""

    us_units: bool

    def plain(self, value_si: float | None, dimension: Dimension) -> str:
        """Value with its unit; ``None`` reads not known."""
        return NOT_KNOWN if value_si is None else show(value_si, dimension, us_units=self.us_units)

    def length(self, value_si: float | None) -> str:
        """Length with its unit."""
        return self.plain(value_si, Dimension.LENGTH)

    def sides(self, values_si: Iterable[float]) -> str:
        """Sides of a box, the unit once."""
        return show_lengths(values_si, us_units=self.us_units)

    def note(self, told: str) -> str:
        """Write what was noted of a mesh in millimetres with its lengths as the builder reads them.

        Examples
        --------
        >>> note = "1 hole was closed, the widest 33.6 mm across, at stations from 10 to 254 mm"
        >>> Shown(us_units=True).note(note)
        '1 hole was closed, the widest 1.323 in across, at stations from 0.39 to 10.00 in'
        """
        return _NOTED.sub(_noted_in_inches, told) if self.us_units else told

    def speed(self, value_si: float | None) -> str:
        """Speed with its unit."""
        return self.plain(value_si, Dimension.SPEED)

    def wind(self, value_si: float | None) -> str:
        """Speed of the wind with its unit."""
        return self.plain(value_si, Dimension.WIND_SPEED)

    def height(self, metres: float) -> str:
        """Height or distance on the field, always in metres or feet."""
        number, unit = (metres / FOOT_M, "ft") if self.us_units else (metres, "m")
        digits = 1 if abs(number) < 10 else 0
        return f"{round(number, digits) + 0.0:.{digits}f} {unit}"

    def inertia(self, kg_m2: float) -> str:
        """Moment of inertia to four digits; what is nothing beside a gram at a centimetre reads 0."""
        number, unit = (kg_m2 / (POUND_KG * FOOT_M**2), "lb ft2") if self.us_units else (kg_m2, "kg m2")
        return f"{number:.4g} {unit}" if abs(kg_m2) > _LEAST_INERTIA_KG_M2 else f"0 {unit}"

    def offset(self, metres: float) -> str:
        """Small length along the body, to a tenth of a millimetre or a hundredth of an inch."""
        number, digits, unit = (metres / INCH_M, 2, "in") if self.us_units else (1e3 * metres, 1, "mm")
        # What rounds to nothing has no sign.
        return f"{round(number, digits) + 0.0:.{digits}f} {unit}"

    def fine(self, metres: float) -> str:
        """Height of a layer, to a hundredth of a millimetre or a thousandth of an inch."""
        return f"{metres / INCH_M:.3f} in" if self.us_units else f"{1e3 * metres:.2f} mm"

    def angle(self, value_rad: float) -> str:
        """Angle with its unit."""
        return self.plain(value_rad, Dimension.ANGLE)

    def between(self, estimate: Estimate | None, dimension: Dimension | None, far: float = math.inf) -> str:
        """Value and interval; a number without dimension stands bare, and beyond ``far`` it only says so."""
        if estimate is None:
            return NOT_KNOWN
        if dimension is None and estimate.high >= PLENTY:
            return factor(estimate)
        return show_estimate(estimate, dimension or Dimension.RATIO, us_units=self.us_units, far=far)

    def judged(self, estimate: Estimate | None, dimension: Dimension | None, far: float = math.inf) -> str:
        """Value, interval and how it is known."""
        if estimate is None:
            return NOT_KNOWN
        doubt = "" if estimate.inside_range else ", outside the method's range"
        return f"{self.between(estimate, dimension, far)}, {estimate.known_by.word}{doubt}"


def bearing(radians: float) -> str:
    """Write a compass bearing in three figures.

    Examples
    --------
    >>> bearing(-0.1)
    '354 deg'
    """
    return f"{math.degrees(radians) % 360:03.0f} deg"
