"""Numbers that will be judged: an interval and how it is known.

A sum or a product of estimates is bounded by interval arithmetic: the ends are
those reached when every part sits at its own worst end at once. That is wider
than a root-sum-square and needs no assumption about independence.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import IntEnum

from finial.core.errors import OutsideRange


class KnownBy(IntEnum):
    """How a number is known, best first, so that ``max`` gives the weakest link."""

    WEIGHED = 0
    MEASURED = 1
    COMPUTED = 2
    HANDBOOK = 3
    ASSUMED = 4

    @property
    def word(self) -> str:
        """The word shown to the builder."""
        return self.name.lower()


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value in SI units with the interval it is believed to lie in.

    Raises
    ------
    OutsideRange
        If any of the three numbers is not finite, or ``low <= value <= high`` fails.

    Examples
    --------
    >>> Estimate(value=1.0, low=0.9, high=1.2, known_by=KnownBy.MEASURED).half_width
    0.15
    """

    value: float
    low: float
    high: float
    known_by: KnownBy
    method: str = ""
    source: str = ""
    inside_range: bool = True
    """False when the method was used outside the range it is known to hold for."""

    def __post_init__(self) -> None:
        """Refuse numbers that are not finite and intervals that miss their value."""
        low, value, high = self.low, self.value, self.high
        # Thousands are made for one answer: what is plainly well goes first.
        if -math.inf < low <= value <= high < math.inf:
            return
        if not all(map(math.isfinite, (value, low, high))):
            raise OutsideRange(f"an estimate must be finite: got {low}, {value}, {high}")
        slack = 1e-9 * max(abs(low), abs(high), 1e-30)
        if not low - slack <= value <= high + slack:
            raise OutsideRange(f"{value} lies outside its own interval {low} to {high}")

    def __hash__(self) -> int:
        """Tell estimates apart by their numbers, which hardly two of them share."""
        return hash((self.value, self.low, self.high))

    @property
    def half_width(self) -> float:
        """Half the interval's width, in the unit of the value."""
        return round((self.high - self.low) / 2, 15)

    def scaled(self, factor: float) -> "Estimate":
        """Multiply by an exact factor; a negative factor swaps the ends."""
        return self._with(self.value * factor, self.low * factor, self.high * factor)

    def shifted(self, by: float) -> "Estimate":
        """Move value and ends alike by an exact number."""
        return self._with(self.value + by, self.low + by, self.high + by)

    def mapped(self, function: Callable[[float], float]) -> "Estimate":
        """Pass through a function that rises or falls over the whole interval."""
        return self._with(function(self.value), function(self.low), function(self.high))

    def meets(self, other: "Estimate") -> bool:
        """Whether the two intervals have a number in common.

        >>> exact(1.0).meets(exact(1.0)), exact(1.0).meets(exact(1.1))
        (True, False)
        """
        return self.low <= other.high and other.low <= self.high

    def held_to(self, other: "Estimate") -> "Estimate":
        """Interval that both leave, the value drawn into it; the other itself where they do not meet.

        >>> table = Estimate(value=1.0, low=0.8, high=1.2, known_by=KnownBy.ASSUMED)
        >>> scale = Estimate(value=1.3, low=1.1, high=1.5, known_by=KnownBy.WEIGHED)
        >>> held = table.held_to(scale)
        >>> held.low, held.value, held.high, held.known_by.word
        (1.1, 1.1, 1.2, 'weighed')
        """
        if not self.meets(other):
            return other
        low, high = max(self.low, other.low), min(self.high, other.high)
        return other._with(min(max(self.value, low), high), low, high)

    def _with(self, value: float, one: float, other: float) -> "Estimate":
        """Another value between two ends, known as this one is."""
        return Estimate(
            value=value,
            low=min(one, other),
            high=max(one, other),
            known_by=self.known_by,
            method=self.method,
            source=self.source,
            inside_range=self.inside_range,
        )


def exact(
    value: float, *, known_by: KnownBy = KnownBy.COMPUTED, method: str = "", source: str = ""
) -> Estimate:
    """Return an estimate without width: counts, definitions, chosen numbers."""
    return Estimate(value=value, low=value, high=value, known_by=known_by, method=method, source=source)


def spread(
    value: float, fraction: float, *, known_by: KnownBy, method: str = "", source: str = ""
) -> Estimate:
    """Return an estimate of ``value`` give or take ``fraction`` of its size."""
    half = abs(value) * fraction
    return Estimate(
        value=value, low=value - half, high=value + half, known_by=known_by, method=method, source=source
    )


def total(estimates: Iterable[Estimate], *, method: str = "sum", source: str = "") -> Estimate:
    """Add estimates end to end; known as well as the weakest of them.

    Examples
    --------
    >>> total([exact(1.0), spread(2.0, 0.1, known_by=KnownBy.ASSUMED)]).high
    3.2
    """
    parts = tuple(estimates)
    return Estimate(
        value=math.fsum(part.value for part in parts),
        low=math.fsum(part.low for part in parts),
        high=math.fsum(part.high for part in parts),
        known_by=max((part.known_by for part in parts), default=KnownBy.COMPUTED),
        method=method,
        source=source,
        inside_range=all(part.inside_range for part in parts),
    )
