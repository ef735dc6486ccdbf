"""Odds that a log is of another flight, motor or vehicle than the sheet's, and what speaks for it."""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from finial.flight.kernel import spread_layout as slots
from finial.flight.spread import Spread
from finial.logbook.refit import Refit
from finial.logbook.story import Story
from finial.logbook.unknowns import Unknown, sigma_of

_WIDE = 10.0
"""Another flight is taken to move each number so many times as far as its scatter would."""
_LEAN_RAD = math.radians(2.0)
"""How far a sensor's axis may lie off the vehicle's; one deviation, assumed."""
_PRESSURE_PA = 300.0
"""What a barometer may be off by all over; one deviation, assumed."""
_MISFIT = 3.0


class AnotherSign(StrEnum):
    """What may speak for another flight."""

    MODEL = "model"
    """A number of the model had to be moved far: motor, mass, drag, canopies."""
    LEAN = "lean"
    """It stood on the rail at another angle."""
    PRESSURE = "pressure"
    """The pad lay under another pressure: another field, or another day."""
    MISFIT = "misfit"
    """The corrected model does not follow the log."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One sign, and how strongly it speaks."""

    sign: AnotherSign
    unknown: Unknown | None = None
    moved: float
    """How far off, in deviations of what was known."""
    weight: float
    """Logarithm of the odds that it adds; below zero it speaks for this flight."""


def evidence(
    story: Story, found: Refit, spread: Spread, tilt_rad: float, pressure_pa: float
) -> tuple[Evidence, ...]:
    """Weigh every sign, the strongest first.

    ``tilt_rad`` and ``pressure_pa`` are the rail's tilt and the pressure at the pad by the sheet.
    """
    signs = [
        _weighed(AnotherSign.MODEL, (one.after.value - one.unknown.value) / one.unknown.sigma, one.unknown)
        for one in found.learnt
        if one.fixed > 0.5
    ]
    lean = _lean_rad(story)
    if lean is not None:
        signs.append(
            _weighed(AnotherSign.LEAN, (lean - tilt_rad) / _known(spread, slots.RAIL_TILT, _LEAN_RAD))
        )
    pressure = story.reading.pad_pressure_pa
    if pressure is not None:
        known = _known(spread, slots.PRESSURE_AT_PAD, _PRESSURE_PA)
        signs.append(_weighed(AnotherSign.PRESSURE, (pressure - pressure_pa) / known))
    over = max(found.misfit - _MISFIT, 0.0)
    signs.append(Evidence(sign=AnotherSign.MISFIT, moved=found.misfit, weight=0.5 * over**2))
    return tuple(sorted(signs, key=lambda one: -one.weight))


def odds_of(signs: tuple[Evidence, ...]) -> float:
    """Odds of another flight, even before: each number moved as by another one, against by its scatter."""
    total = sum(one.weight for one in signs)
    return float(1.0 / (1.0 + math.exp(-min(max(total, -50.0), 50.0))))


def _weighed(sign: AnotherSign, moved: float, unknown: Unknown | None = None) -> Evidence:
    weight = 0.5 * moved**2 * (1.0 - _WIDE**-2) - math.log(_WIDE)
    return Evidence(sign=sign, unknown=unknown, moved=moved, weight=weight)


def _lean_rad(story: Story) -> float | None:
    """Angle of the axis from the vertical on the pad, where all three axes of an accelerometer tell it."""
    sensed = story.reading.sensed
    before = sensed.felt_m_s2[(sensed.times_s < -0.2) & np.isfinite(sensed.felt_m_s2).all(axis=1)]
    if len(before) < 8:
        return None
    along, *across = np.median(before, axis=0).tolist()
    return math.atan2(math.hypot(*across), along)


def _known(spread: Spread, slot: int, sensor: float) -> float:
    draw = next((draw for draw in spread.draws if draw.slot == slot), None)
    return math.hypot(sensor, 0.0 if draw is None else sigma_of(draw))
