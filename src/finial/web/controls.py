"""The sliders of the page: what may be changed, between what ends, in what steps."""

import math
from dataclasses import dataclass

from finial.assemble.mass.results import MassRow
from finial.core.dimensions import Dimension, find_unit
from finial.findings.readiness import Readiness

SPAN_SCALE_ENDS = (0.5, 1.5)
SPAN_SCALE_STEP = 0.01
MOST_OF_SHEET = 2.5
"""A ballast slider ends at this many times what the sheet says."""
_FEWEST_STEPS, _MOST_STEPS = 20, 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class BallastControl:
    """One item whose mass may be changed; ``unit_kg`` is one shown unit in kilograms."""

    name: str
    mass_kg: float
    min_kg: float
    max_kg: float
    step_kg: float
    unit: str
    unit_kg: float
    decimals: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FinControl:
    """The factor on the fins' span, shown as the span of the first set."""

    span_m: float
    min_scale: float
    max_scale: float
    step_scale: float
    unit: str
    unit_m: float
    decimals: int


def ballast_controls(readiness: Readiness) -> tuple[BallastControl, ...]:
    """One control for each item marked as ballast; without any, for the heaviest item."""
    items = [row for row in readiness.mass.rows if row.kind == "item" and row.mass.value > 0]
    marked = [row for row in items if row.is_ballast]
    heaviest = sorted(items, key=lambda row: row.mass.value)[-1:]
    return tuple(_ballast(row, readiness.us_units) for row in marked or heaviest)


def fin_control(readiness: Readiness) -> FinControl | None:
    """Return the control of the fins' span, ``None`` for a vehicle without fins."""
    if not readiness.shape.fins:
        return None
    unit, unit_m = _unit("in" if readiness.us_units else "mm", Dimension.LENGTH)
    return FinControl(
        span_m=float(readiness.shape.fins[0].outline_m[:, 1].max()),
        min_scale=SPAN_SCALE_ENDS[0],
        max_scale=SPAN_SCALE_ENDS[1],
        step_scale=SPAN_SCALE_STEP,
        unit=unit,
        unit_m=unit_m,
        decimals=2 if readiness.us_units else 0,
    )


def _ballast(row: MassRow, us_units: bool) -> BallastControl:
    unit, unit_kg = _unit("oz" if us_units else "g", Dimension.MASS)
    step = _step(row.mass.value / unit_kg)
    return BallastControl(
        name=row.name,
        mass_kg=row.mass.value,
        min_kg=0.0,
        max_kg=math.floor(MOST_OF_SHEET * row.mass.value / unit_kg / step + 1e-6) * step * unit_kg,
        step_kg=step * unit_kg,
        unit=unit,
        unit_kg=unit_kg,
        decimals=max(0, min(3, -math.floor(math.log10(step) + 1e-9))),
    )


def _step(amount: float) -> float:
    """Roundest step that lands on the sheet's own amount, so that the slider can return to it."""
    for step in (5.0, 2.0, 1.0, 0.5, 0.25, 0.1, 0.05, 0.02, 0.01):
        count = amount / step
        if _FEWEST_STEPS <= count <= _MOST_STEPS and abs(count - round(count)) < 1e-6:
            return step
    return amount / 200


def _unit(symbol: str, dimension: Dimension) -> tuple[str, float]:
    unit = find_unit(symbol, dimension)
    assert unit is not None, f"the unit table has no {symbol}"
    return unit.symbol, float(unit.factor)
