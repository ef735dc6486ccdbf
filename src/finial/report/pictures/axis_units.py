"""Units that the axes of pictures are marked in, metric or US."""

from dataclasses import dataclass
from typing import Final

from finial.core.constants import STANDARD_GRAVITY_M_S2

# Exact by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg (international yard and pound, 1959).
_INCH_M: Final = 0.0254
_FOOT_M: Final = 0.3048
_POUND_KG: Final = 0.45359237
_POUND_FORCE_N: Final = _POUND_KG * STANDARD_GRAVITY_M_S2


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisUnit:
    """A unit's name and how many of it make one SI unit."""

    name: str
    per_si: float


SHORT: Final = (AxisUnit(name="mm", per_si=1e3), AxisUnit(name="in", per_si=1 / _INCH_M))
LONG: Final = (AxisUnit(name="m", per_si=1.0), AxisUnit(name="ft", per_si=1 / _FOOT_M))
MASS: Final = (AxisUnit(name="kg", per_si=1.0), AxisUnit(name="lb", per_si=1 / _POUND_KG))
SPEED: Final = (AxisUnit(name="m/s", per_si=1.0), AxisUnit(name="ft/s", per_si=1 / _FOOT_M))
FORCE: Final = (AxisUnit(name="N", per_si=1.0), AxisUnit(name="lbf", per_si=1 / _POUND_FORCE_N))
MOMENT: Final = (
    AxisUnit(name="N m", per_si=1.0),
    AxisUnit(name="lbf ft", per_si=1 / (_POUND_FORCE_N * _FOOT_M)),
)


def chosen(pair: tuple[AxisUnit, AxisUnit], us_units: bool) -> AxisUnit:
    """Metric or US unit of a pair."""
    return pair[1] if us_units else pair[0]
